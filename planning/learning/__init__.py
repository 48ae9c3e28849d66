"""What the record teaches: the setter's own pace and waits, and where the hours went. It shows and offers; it imposes
nothing, and it plans nothing.
"""
