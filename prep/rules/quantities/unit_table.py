"""The table of units: each symbol with its exact factor to SI and its UCUM code.

Factors: NIST Special Publication 811, appendix B.8. An entry is text or `Fraction`, never a float.
"""

from fractions import Fraction
from typing import Final

INCH: Final = Fraction("0.0254")
FOOT: Final = 12 * INCH
POUND: Final = Fraction("0.45359237")
GRAVITY: Final = Fraction("9.80665")
POUND_FORCE: Final = POUND * GRAVITY
US_GALLON: Final = 231 * INCH**3
IMPERIAL_GALLON: Final = Fraction("0.00454609")
# Columns of mercury and of water, in pascals a meter: UCUM, which rounds mercury to 133.322 kPa.
MERCURY: Final = Fraction("133322")
WATER: Final = GRAVITY * 1000
BTU: Final = Fraction("1055.05585262")  # the International Table one
MILLI: Final = Fraction(1, 1000)
MINUTE: Final = Fraction(1, 60)

# The one factor that is not rational. Fifty decimals leave a conversion between degrees exact and
# one to radians good to far more than any instrument reads.
PI: Final = Fraction("3.14159265358979323846264338327950288419716939937511")
DEGREE: Final = PI / 180

Row = tuple[str, Fraction | int | str, Fraction | int | str, str]  # symbol, factor, offset, UCUM

# name, SI unit, unit of the record, may be negative, units.
ROWS: Final[tuple[tuple[str, str, str, bool, tuple[Row, ...]], ...]] = (
    (
        "length",
        "m",
        "mm",
        True,  # an offset from a mark, or one side lower than the other
        (
            ("m", 1, 0, "m"),
            ("mm", MILLI, 0, "mm"),
            ("cm", MILLI * 10, 0, "cm"),
            ("km", 1000, 0, "km"),
            ("µm", MILLI**2, 0, "um"),
            ("in", INCH, 0, "[in_i]"),
            ("ft", FOOT, 0, "[ft_i]"),
            ("yd", 3 * FOOT, 0, "[yd_i]"),
            ("mi", 5280 * FOOT, 0, "[mi_i]"),
            ("thou", INCH * MILLI, 0, "[mil_i]"),
        ),
    ),
    (
        "area",
        "m²",
        "m²",
        False,
        (
            ("m²", 1, 0, "m2"),
            ("mm²", MILLI**2, 0, "mm2"),
            ("cm²", MILLI**2 * 100, 0, "cm2"),
            ("in²", INCH**2, 0, "[sin_i]"),
            ("ft²", FOOT**2, 0, "[sft_i]"),
            ("ha", 10_000, 0, "har"),
            ("acre", 43_560 * FOOT**2, 0, "43560.[sft_i]"),  # [acr_us] is the survey acre
        ),
    ),
    (
        "volume",
        "m³",
        "L",
        False,
        (
            ("m³", 1, 0, "m3"),
            ("L", MILLI, 0, "L"),
            ("dL", MILLI / 10, 0, "dL"),
            ("cL", MILLI / 100, 0, "cL"),
            ("mL", MILLI**2, 0, "mL"),
            ("cm³", MILLI**2, 0, "cm3"),
            ("in³", INCH**3, 0, "[cin_i]"),
            ("US gal", US_GALLON, 0, "[gal_us]"),
            ("US qt", US_GALLON / 4, 0, "[qt_us]"),
            ("US pt", US_GALLON / 8, 0, "[pt_us]"),
            ("US fl oz", US_GALLON / 128, 0, "[foz_us]"),
            ("imp gal", IMPERIAL_GALLON, 0, "[gal_br]"),
            ("imp qt", IMPERIAL_GALLON / 4, 0, "[qt_br]"),
            ("imp pt", IMPERIAL_GALLON / 8, 0, "[pt_br]"),
            ("imp fl oz", IMPERIAL_GALLON / 160, 0, "[foz_br]"),
        ),
    ),
    (
        "mass",
        "kg",
        "kg",
        False,
        (
            ("kg", 1, 0, "kg"),
            ("g", MILLI, 0, "g"),
            ("t", 1000, 0, "t"),
            ("lb", POUND, 0, "[lb_av]"),
            ("oz", POUND / 16, 0, "[oz_av]"),
            ("US ton", 2000 * POUND, 0, "[ston_av]"),
        ),
    ),
    (
        "force",
        "N",
        "N",
        False,
        (
            ("N", 1, 0, "N"),
            ("kN", 1000, 0, "kN"),
            ("daN", 10, 0, "daN"),
            ("lbf", POUND_FORCE, 0, "[lbf_av]"),
            ("kip", 1000 * POUND_FORCE, 0, "10*3.[lbf_av]"),
            ("kgf", GRAVITY, 0, "kgf"),
        ),
    ),
    (
        "torque",
        "N·m",
        "N·m",
        False,
        (
            ("N·m", 1, 0, "N.m"),
            ("kN·m", 1000, 0, "kN.m"),
            ("daN·m", 10, 0, "daN.m"),
            ("ft·lbf", FOOT * POUND_FORCE, 0, "[ft_i].[lbf_av]"),
            ("in·lbf", INCH * POUND_FORCE, 0, "[in_i].[lbf_av]"),
            ("kgf·m", GRAVITY, 0, "kgf.m"),
            ("kgf·cm", GRAVITY / 100, 0, "kgf.cm"),
        ),
    ),
    (
        "pressure",
        "Pa",
        "kPa",
        True,  # gauge pressure below the atmosphere's
        (
            ("Pa", 1, 0, "Pa"),
            ("kPa", 1000, 0, "kPa"),
            ("MPa", 10**6, 0, "MPa"),
            ("GPa", 10**9, 0, "GPa"),
            ("bar", 10**5, 0, "bar"),
            ("mbar", 100, 0, "mbar"),
            ("psi", POUND_FORCE / INCH**2, 0, "[psi]"),
            ("ksi", 1000 * POUND_FORCE / INCH**2, 0, "10*3.[psi]"),
            ("kgf/cm²", GRAVITY * 10_000, 0, "kgf/cm2"),
            ("inHg", INCH * MERCURY, 0, "[in_i'Hg]"),
            ("mmHg", MILLI * MERCURY, 0, "mm[Hg]"),
            ("inH₂O", INCH * WATER, 0, "[in_i'H2O]"),
        ),
    ),
    (
        "angle",
        "rad",
        "°",
        True,
        (
            ("rad", 1, 0, "rad"),
            ("°", DEGREE, 0, "deg"),
            ("arcmin", DEGREE * MINUTE, 0, "'"),
            ("arcsec", DEGREE * MINUTE**2, 0, "''"),
            ("turn", 2 * PI, 0, "circ"),
        ),
    ),
    (
        "slope",
        "m/m",
        "mm/m",
        True,
        (
            ("m/m", 1, 0, "m/m"),
            ("mm/m", MILLI, 0, "mm/m"),
            ("in/ft", INCH / FOOT, 0, "[in_i]/[ft_i]"),
            ("% grade", Fraction(1, 100), 0, "%"),
        ),
    ),
    (
        "rotation",
        "1/s",
        "rpm",
        False,
        (("1/s", 1, 0, "/s"), ("Hz", 1, 0, "Hz"), ("rpm", MINUTE, 0, "{rev}/min")),
    ),
    (
        "angular speed",
        "rad/s",
        "rad/s",
        False,
        (("rad/s", 1, 0, "rad/s"), ("°/s", DEGREE, 0, "deg/s")),
    ),
    ("angular acceleration", "rad/s²", "rad/s²", False, (("rad/s²", 1, 0, "rad/s2"),)),
    (
        "speed",
        "m/s",
        "m/s",
        False,
        (
            ("m/s", 1, 0, "m/s"),
            ("mm/s", MILLI, 0, "mm/s"),
            ("km/h", Fraction(5, 18), 0, "km/h"),
            ("mph", Fraction(5280, 3600) * FOOT, 0, "[mi_i]/h"),
            ("ft/s", FOOT, 0, "[ft_i]/s"),
            ("ft/min", FOOT * MINUTE, 0, "[ft_i]/min"),
            ("in/s", INCH, 0, "[in_i]/s"),
            ("m/min", MINUTE, 0, "m/min"),
            ("mm/min", MILLI * MINUTE, 0, "mm/min"),
            ("in/min", INCH * MINUTE, 0, "[in_i]/min"),
        ),
    ),
    (
        "temperature",
        "K",
        "°C",
        True,
        (
            ("K", 1, 0, "K"),
            ("°C", 1, "273.15", "Cel"),
            ("°F", Fraction(5, 9), Fraction("459.67") * Fraction(5, 9), "[degF]"),
        ),
    ),
    (
        "time",
        "s",
        "s",
        False,
        (("s", 1, 0, "s"), ("min", 60, 0, "min"), ("h", 3600, 0, "h"), ("d", 86_400, 0, "d")),
    ),
    (
        "power",
        "W",
        "kW",
        False,
        (
            ("W", 1, 0, "W"),
            ("kW", 1000, 0, "kW"),
            ("hp", 550 * FOOT * POUND_FORCE, 0, "[HP]"),
            ("metric hp", 75 * GRAVITY, 0, "75.kgf.m/s"),
        ),
    ),
    (
        "energy",
        "J",
        "J",
        False,
        (("J", 1, 0, "J"), ("kJ", 1000, 0, "kJ"), ("BTU", BTU, 0, "[Btu_IT]")),
    ),
    (
        "flow",
        "m³/s",
        "L/min",
        False,
        (
            ("m³/s", 1, 0, "m3/s"),
            ("m³/h", MINUTE**2, 0, "m3/h"),
            ("L/s", MILLI, 0, "L/s"),
            ("L/min", MILLI * MINUTE, 0, "L/min"),
            ("L/h", MILLI * MINUTE**2, 0, "L/h"),
            ("mL/min", MILLI**2 * MINUTE, 0, "mL/min"),
            ("US gal/min", US_GALLON * MINUTE, 0, "[gal_us]/min"),
            ("imp gal/min", IMPERIAL_GALLON * MINUTE, 0, "[gal_br]/min"),
        ),
    ),
    (
        "viscosity",
        "m²/s",
        "mm²/s",
        False,
        (("m²/s", 1, 0, "m2/s"), ("mm²/s", MILLI**2, 0, "mm2/s"), ("cSt", MILLI**2, 0, "cSt")),
    ),
    (
        "dynamic viscosity",
        "Pa·s",
        "mPa·s",
        False,
        (("Pa·s", 1, 0, "Pa.s"), ("mPa·s", MILLI, 0, "mPa.s"), ("cP", MILLI, 0, "cP")),
    ),
    (
        "density",
        "kg/m³",
        "kg/m³",
        False,
        (
            ("kg/m³", 1, 0, "kg/m3"),
            ("kg/L", 1000, 0, "kg/L"),
            ("lb/ft³", POUND / FOOT**3, 0, "[lb_av]/[cft_i]"),
            ("lb/US gal", POUND / US_GALLON, 0, "[lb_av]/[gal_us]"),
        ),
    ),
    (
        "particles",
        "1/m³",
        "1/mL",
        False,
        (("1/m³", 1, 0, "/m3"), ("1/mL", MILLI**-2, 0, "/mL"), ("1/cm³", MILLI**-2, 0, "/cm3")),
    ),
    (
        "thermal expansion",
        "1/K",
        "1/K",
        False,
        (("1/K", 1, 0, "/K"), ("1/°C", 1, 0, "/Cel"), ("1/°F", Fraction(9, 5), 0, "/[degF]")),
    ),
    ("voltage", "V", "V", False, (("V", 1, 0, "V"), ("mV", MILLI, 0, "mV"))),
    ("current", "A", "A", False, (("A", 1, 0, "A"), ("mA", MILLI, 0, "mA"))),
    ("ratio", "1", "1", False, (("1", 1, 0, "1"), ("%", Fraction(1, 100), 0, "%"))),
    ("count", "count", "count", False, (("count", 1, 0, "1"),)),
)
