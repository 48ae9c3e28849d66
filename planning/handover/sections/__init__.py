"""The sections of the note for tonight, one function each; each gives no lines when there is nothing to say."""
