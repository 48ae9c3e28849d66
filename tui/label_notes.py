"""A label number noted in one job is kept for the next: written into the setter's own file, and taken back with it."""

from collections.abc import Mapping
from typing import Any


def before_noting(body: Mapping[str, Any]) -> dict[str, Any]:
    """The body of a `label` event with what his file said before under "was", so that an undo can put it back.

    Raises UnreadableError when the label cannot be read: then nothing may be noted.
    """
    from planning.records.not_saved import NotSaved
    from planning.records.own_labels import label_now
    from planning.trade.labels import label_words

    words = label_words(str(body.get("value", "")))
    try:
        was = dict(label_now(str(body.get("class", "")), words))
    except NotSaved:
        return dict(body)
    return {**body, "was": was}


def keep(body: Mapping[str, Any]) -> str | None:
    """Write a noted label into his file. Returns why it could not be kept for the next job, or None."""
    from planning.records.not_saved import NotSaved
    from planning.records.own_labels import keep_label
    from planning.trade.labels import label_words

    try:
        keep_label(str(body["class"]), label_words(str(body["value"])))
    except NotSaved as failed:
        return f"the label counts for this job, but it is not kept for the next: {failed}"
    return None


def put_back(body: Mapping[str, Any]) -> str | None:
    """Take a noted label out of his file again, where the file still says it. Returns why not, or None."""
    from planning.records.not_saved import NotSaved
    from planning.records.own_labels import keep_label, label_now
    from planning.trade.labels import label_words

    was = body.get("was")
    if not isinstance(was, Mapping):
        return None
    material, words = str(body["class"]), label_words(str(body["value"]))
    try:
        if dict(label_now(material, words)) == dict(words):
            keep_label(material, dict(was))
    except NotSaved as failed:
        return f"the label is taken back here, but your file of labels keeps it: {failed}"
    return None
