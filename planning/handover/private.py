"""What never leaves by default: other people's phones and mail, sums of money, wages, the setter's notes to himself.

Free text is screened where it enters a page. It is a net and not a promise: who hands a page on has read it.
"""

import re

KEPT_BACK = "(kept back)"
LEAST_DIGITS = 7
"""A run of at least so many digits is taken for a phone number, unless it is a date."""

_RUN = re.compile(rf"(?<![\w.])(?<!CFR )\+?\(?\d(?:[\s().-]{{0,2}}\d){{{LEAST_DIGITS - 1},}}(?!\w)")
_DATE = re.compile(r"\d{4}-\d\d-\d\d|\d{1,2}[./]\d{1,2}[./]\d{2,4}|20\d{6}")
_MAIL = re.compile(r"[^\s@<>]+@[^\s@<>]+\.\w+")
_PER = r"(?:\s*(?:/|per|an?|each)\s*(?:hour|hr|h|day|week|man))?"
_MONEY = re.compile(
    rf"[$€£]\s*\d[\d.,]*{_PER}|\b\d[\d.,]*\s*(?:dollars?|bucks|euros?|pounds sterling|USD|EUR|GBP)\b{_PER}",
    re.IGNORECASE,
)
_WAGES = re.compile(r"\b(?:wages?|salary|payroll|paid|pay|pays|overtime pay|day rate|hourly rate)\b", re.IGNORECASE)
_CLAUSE = re.compile(r"[^.;,]+[.;,]?")


def screened(text: str) -> str:
    """The text without phone numbers, mail addresses, sums of money, and clauses that speak of wages."""
    clauses = [
        _hidden(clause) if _WAGES.search(clause) else clause for clause in _CLAUSE.findall(text.strip()) or [text]
    ]
    said = "".join(clauses)
    said = _MAIL.sub(KEPT_BACK, said)
    said = _MONEY.sub(KEPT_BACK, said)
    return _RUN.sub(lambda found: found[0] if _DATE.fullmatch(found[0].strip()) else KEPT_BACK, said)


def _hidden(clause: str) -> str:
    end = clause[-1] if clause[-1] in ".;," else ""
    space = " " if clause.startswith(" ") else ""
    return f"{space}{KEPT_BACK}{end}"
