"""What the setter can note from the command line: each kind, what it is about, its value, and a line of help."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Form:
    """How one kind is typed. `about`: what is named first ("" for nothing, a `?` for "may be left out").

    `value`: how the rest is read; "" for none, a `?` for "may be left out".
    """

    about: str
    value: str
    help: str
    example: str


FORMS: dict[str, Form] = {
    "started": Form("step", "", "hands are at it", "started coat-1 --at 7:22"),
    "finished": Form("step", "", "it is done", "finished coat-1"),
    "late": Form("step", "minutes", "it ends (or starts) so much later than planned", "late coat-1 40"),
    "tacky": Form("step", "", "not dry yet, look again in 30 min", "tacky coat-1"),
    "held": Form("step", "hold?", "wait till told, till a time, or go on (off)", "held pour 13:00"),
    "corrected": Form("step", "time", "its last mark was at another time", "corrected coat-1 7:20"),
    "water_in": Form("step", "", "powder met water: the pour's clocks run", "water_in powder-room/pour"),
    "bucket": Form("step", "word?", "a bucket was started, or stopped", "bucket pour stopped"),
    "photo": Form("step", "text", "a photo was taken: its name", "photo coat-2 IMG_0412"),
    "gauge": Form("step", "text", "a film gauge reading", "gauge coat-1 '26 mil'"),
    "heard": Form("step", "", "the bell was heard", "heard coat-2"),
    "found": Form("place", "found", "rot, leak, level drop, walked on, thin spot...", "found kitchen 'joist is soft'"),
    "note": Form("place?", "text", "anything else", "note mudroom 'door sticks'"),
    "extra_work": Form("place", "work", "work the owner said yes to", "extra_work kitchen '2 h second niche'"),
    "reading": Form("room", "air", "air and floor as read", "reading kitchen '66 F 58 % floor 65 F'"),
    "gone": Form("who", "time?", "somebody left (till a time, else for the day)", "gone helper --at 14:00"),
    "came": Form("who", "", "somebody is here", "came helper"),
    "stay_until": Form("who?", "time", "we stay later today", "stay_until 16:10"),
    "visit_moved": Form("visit", "time", "a visit has another time", "visit_moved inspector 10:30"),
    "visit_result": Form("visit", "result", "passed, failed (why) or no-show", "visit_result inspector passed"),
    "delivered": Form("delivery", "arrived?", "it is here (or it is the wrong one)", "delivered tile"),
    "delivery_moved": Form("delivery", "time", "it comes at another time", "delivery_moved tile '2026-06-05 9:00'"),
    "service_out": Form("service", "time?", "power, water or heat is out (till a time)", "service_out power 14:00"),
    "service_back": Form("service", "", "it is back", "service_back power"),
    "answered": Form("answer", "text?", "the owner answered", "answered 'grout color' 'pearl gray'"),
    "errand": Form("errand", "", "the errand is done", "errand 'supply store'"),
    "van_has": Form("class", "number", "counted in the van", "van_has leveler-rapid 3"),
    "used": Form("class", "number", "packages really used, of a step or beside the plan", "used set thin-set 2"),
    "short": Form("class", "number", "so many are missing", "short leveler-rapid 1"),
    "ticked": Form("step", "tick", "a line of the pull-list is in the van (or off)", "ticked pour leveler-rapid"),
    "class_swapped": Form("class", "class", "another class is used instead", "class_swapped thin-set thin-set-rapid"),
    "label": Form("class", "label", "what its label says, kept for every job", "label thin-set 'walk 18 h'"),
    "told": Form("", "text", "who was told what", "told 'owner: mudroom from Thu 8:00'"),
}


def help_text(job: str) -> str:
    """All kinds, one a line, with an example each."""
    lines = [f"mudday note {job} KIND ...", ""]
    lines += [f"  {kind:<14} {form.help:<48} {form.example}" for kind, form in FORMS.items()]
    return "\n".join(lines) + "\n"
