"""The units of the input: what each kind of value is kept in, its factors, how people write them.

The factors are the exact legal ones (international yard and pound 1959, standard gravity
9.80665 m/s^2); the tests hold every one of them against an independent unit library.
"""

from dataclasses import dataclass
from math import pi

FOOT = 304.8
INCH = 25.4
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY


@dataclass(frozen=True)
class ValueKind:
    """A kind of value: its name with article, the unit inside, and the factor of each unit."""

    name: str
    inside: str
    factors: dict[str, float]
    example: str


DIMENSIONS: dict[str, ValueKind] = {
    "length": ValueKind(
        "a length",
        "mm",
        {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": INCH, "inch": INCH, "ft": FOOT, "thou": 0.0254},
        "1.35 m",
    ),
    "angle": ValueKind(
        "an angle",
        "deg",
        {"deg": 1.0, "degree": 1.0, "degrees": 1.0, "°": 1.0, "rad": 180.0 / pi},
        "3 deg",
    ),
    "area": ValueKind(
        "an area",
        "mm^2",
        {"mm^2": 1.0, "cm^2": 100.0, "m^2": 1e6, "in^2": INCH**2, "ft^2": FOOT**2},
        "164 cm^2",
    ),
    "speed": ValueKind(
        "a speed",
        "m/s",
        {
            "m/s": 1.0,
            "km/h": 1 / 3.6,
            "kt": 1852 / 3600,
            "knot": 1852 / 3600,
            "knots": 1852 / 3600,
            "mph": 0.44704,
            "ft/s": 0.3048,
            "ft/min": 0.3048 / 60,
        },
        "45 kt",
    ),
    "power": ValueKind(
        "a power",
        "W",
        {
            "W": 1.0,
            "kW": 1000.0,
            "hp": 550 * 0.3048 * POUND_FORCE,
            "bhp": 550 * 0.3048 * POUND_FORCE,
            "PS": 75 * GRAVITY,
        },
        "22 kW",
    ),
    "volume": ValueKind(
        "a volume",
        "mm^3",
        {
            "mm^3": 1.0,
            "cm^3": 1e3,
            "m^3": 1e9,
            "in^3": INCH**3,
            "ft^3": FOOT**3,
            "l": 1e6,
            "US gal": 231 * INCH**3,
        },
        "150 cm^3",
    ),
    "density": ValueKind(
        "a density",
        "kg/m^3",
        {
            "kg/m^3": 1.0,
            "g/cm^3": 1000.0,
            "lb/ft^3": POUND / 0.3048**3,
            "lb/in^3": POUND / 0.0254**3,
            "slug/ft^3": POUND_FORCE / 0.3048 / 0.3048**3,
        },
        "1.225 kg/m^3",
    ),
    "mass": ValueKind(
        "a mass",
        "kg",
        {"kg": 1.0, "g": 0.001, "lb": POUND, "lbs": POUND, "oz": POUND / 16},
        "1.8 kg",
    ),
    "mass flow": ValueKind(
        "a flow of mass",
        "kg/s",
        {"kg/s": 1.0, "g/s": 0.001, "lb/s": POUND, "lb/min": POUND / 60},
        "0.25 kg/s",
    ),
    "areal weight": ValueKind(
        "an areal weight",
        "kg/m^2",
        {
            "kg/m^2": 1.0,
            "g/m^2": 0.001,
            "oz/yd^2": POUND / 16 / 0.9144**2,
            "lb/ft^2": POUND / 0.3048**2,
        },
        "200 g/m^2",
    ),
    "rotation": ValueKind(
        "a rotation", "rpm", {"rpm": 1.0, "rev/min": 1.0, "1/min": 1.0, "rev/s": 60.0}, "2500 rpm"
    ),
    "temperature": ValueKind(
        "a temperature difference",
        "K",
        {"K": 1.0, "degC rise": 1.0, "degF rise": 5 / 9},
        "60 K",
    ),
    "pressure": ValueKind(
        "a pressure",
        "Pa",
        {
            "Pa": 1.0,
            "hPa": 100.0,
            "kPa": 1000.0,
            "mbar": 100.0,
            "psi": POUND_FORCE / 0.0254**2,
            "lbf/ft^2": POUND_FORCE / 0.3048**2,
            "inH2O": INCH * GRAVITY,
            "mmH2O": GRAVITY,
        },
        "200 Pa",
    ),
    "fraction": ValueKind("a plain number", "", {"": 1.0, "%": 0.01}, "0.8"),
}

# The same units as people write them; in any of these "/" and blanks may stand closer or wider.
ALSO: dict[str, str] = {
    "mm": "millimetre|millimetres|millimeter|millimeters|MM",
    "cm": "centimetre|centimetres|centimeter|centimeters|CM",
    "m": "metre|metres|meter|meters",
    "in": "inches|IN|\"|″|”|''",
    "ft": "foot|feet|FT|'|′|’",
    "rad": "radian|radians",
    "mm^2": "sq mm|sq. mm",
    "cm^2": "sq cm|sq. cm",
    "m^2": "sq m|sq. m|square metres|square meters",
    "in^2": "sq in|sq. in|square inches|square inch",
    "ft^2": "sq ft|sq. ft|square feet|square foot",
    "cm^3": "cu cm|cc",
    "in^3": "cu in|cu. in|cubic inches",
    "ft^3": "cu ft|cu. ft|cubic feet",
    "l": "L|litre|litres|liter|liters",
    "US gal": "US gallon|US gallons|U.S. gal",
    "m/s": "m/sec",
    "km/h": "km/hr|kmh|kph",
    "kt": "kts|kn|KT|KTS",
    "mph": "MPH|mi/h",
    "ft/s": "fps|ft/sec",
    "ft/min": "fpm",
    "W": "watt|watts",
    "hp": "HP|horsepower",
    "bhp": "BHP",
    "kg/m^3": "kg/cu m",
    "g/cm^3": "g/cu cm|g/cc",
    "lb/ft^3": "lb/cu ft|lbs/cu ft|lbs/ft^3|pcf",
    "lb/in^3": "lb/cu in|lbs/cu in|lbs/in^3",
    "kg": "kgs|kilogram|kilograms",
    "g": "gram|grams",
    "lb": "pound|pounds|LB|LBS",
    "oz": "ounce|ounces|OZ",
    "kg/m^2": "kg/sq m",
    "g/m^2": "g/sq m|gsm",
    "oz/yd^2": "oz/sq yd",
    "lb/ft^2": "lb/sq ft",
    "rpm": "RPM|r/min",
    "K": "K rise|K difference",
    "degC rise": "°C rise|C rise|degC difference|°C difference|C difference",
    "degF rise": "°F rise|F rise|degF difference|°F difference|F difference",
    "psi": "PSI|lbf/in^2",
    "lbf/ft^2": "lbf/sq ft|psf",
    "inH2O": "in H2O|inches H2O",
    "mmH2O": "mm H2O",
    "%": "percent|per cent",
}
