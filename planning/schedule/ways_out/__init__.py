"""When no plan fits, or the day breaks: the facts that clash, and the changes that would let a plan in, costed."""
