"""How units are written on site, the name each has in pint, and the definitions pint reads: data for `units`."""

from collections.abc import Mapping

DEFINITIONS: tuple[str, ...] = (
    "meter = [length]",
    "kilogram = [mass]",
    "minute = [time]",
    "degree_Celsius = [temperature]; offset: 0 = degC",
    "degree_Fahrenheit = 5 / 9 * degree_Celsius; offset: -160 / 9 = degF",
    "inch = 0.0254 * meter",
    "thou = 0.001 * inch",
    "foot = 12 * inch",
    "yard = 3 * foot",
    "millimeter = 0.001 * meter",
    "centimeter = 0.01 * meter",
    "pound = 0.45359237 * kilogram",
    "ounce = 1 / 16 * pound",
    "gram = 0.001 * kilogram",
    "metric_ton = 1000 * kilogram",
    "liter = 0.001 * meter ** 3",
    "milliliter = 0.001 * liter",
    "gallon = 231 * inch ** 3",
    "quart = 1 / 4 * gallon",
    "pint = 1 / 2 * quart",
    "fluid_ounce = 1 / 128 * gallon",
    "hour = 60 * minute",
    "day = 24 * hour",
    "week = 7 * day",
)
"""The few units of the trade, exact (yard and pound of 1959, US gallon of 231 cubic inches). pint's own list holds the
same and a thousand more, which takes it half a second to read at every start; the tests compare the two."""

LENGTHS: Mapping[str, str] = {
    "'": "foot", "ft": "foot", "foot": "foot", "feet": "foot", '"': "inch", "in": "inch", "inch": "inch",
    "inches": "inch", "yd": "yard", "yard": "yard", "yards": "yard", "mil": "thou", "mils": "thou", "mm": "millimeter",
    "cm": "centimeter", "m": "meter", "meter": "meter", "meters": "meter", "metre": "meter", "metres": "meter",
}  # fmt: skip
AREAS: Mapping[str, str] = {
    "sq ft": "foot**2", "sqft": "foot**2", "ft2": "foot**2", "ft^2": "foot**2", "square feet": "foot**2",
    "square foot": "foot**2", "sq feet": "foot**2", "sf": "foot**2", "sq in": "inch**2", "in2": "inch**2",
    "sq yd": "yard**2", "m2": "meter**2", "m^2": "meter**2", "sq m": "meter**2", "sqm": "meter**2",
    "square meters": "meter**2", "square metres": "meter**2", "square meter": "meter**2", "cm2": "centimeter**2",
}  # fmt: skip
VOLUMES: Mapping[str, str] = {
    "cu ft": "foot**3", "cuft": "foot**3", "ft3": "foot**3", "ft^3": "foot**3", "cubic feet": "foot**3",
    "cubic foot": "foot**3", "cu in": "inch**3", "cu yd": "yard**3", "m3": "meter**3", "m^3": "meter**3",
    "l": "liter", "liter": "liter", "liters": "liter", "litre": "liter", "litres": "liter", "ml": "milliliter",
    "qt": "quart", "quart": "quart", "quarts": "quart", "gal": "gallon", "gallon": "gallon", "gallons": "gallon",
    "pt": "pint", "pint": "pint", "pints": "pint", "fl oz": "fluid_ounce",
}  # fmt: skip
MASSES: Mapping[str, str] = {
    "lb": "pound", "lbs": "pound", "pound": "pound", "pounds": "pound", "oz": "ounce", "kg": "kilogram",
    "g": "gram", "t": "metric_ton",
}  # fmt: skip
TIMES: Mapping[str, str] = {
    "min": "minute", "mins": "minute", "minute": "minute", "minutes": "minute", "h": "hour", "hr": "hour",
    "hrs": "hour", "hour": "hour", "hours": "hour", "d": "day", "day": "day", "days": "day", "week": "week",
    "weeks": "week",
}  # fmt: skip
PACKAGES: frozenset[str] = frozenset((
    "bag", "bags", "box", "boxes", "bottle", "bottles", "bucket", "buckets", "can", "cans", "carton", "cartons",
    "cartridge", "cartridges", "each", "kit", "kits", "pail", "pails", "piece", "pieces", "roll", "rolls", "sheet",
    "sheets", "tube", "tubes",
))  # fmt: skip
