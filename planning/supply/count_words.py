"""Packages counted in words: `1 bag`, `2 boxes`, `2 bags + 1 spare`, `3 pairs of cans`."""


def count_words(count: float, name: str) -> str:
    """`1 bag`, `2 bags`, `2 boxes`, `2 pairs of cans`."""
    number = f"{count:g}"
    if count == 1:
        return f"{number} {name}"
    head, of, rest = name.partition(" of ")
    return f"{number} {head}{'es' if head.endswith(('s', 'x', 'ch')) else 's'}{of}{rest}"


def need_words(need: int, spare: int, package: str) -> str:
    """`2 bags + 1 spare`."""
    return count_words(need, package) + (f" + {spare} spare" if spare else "")
