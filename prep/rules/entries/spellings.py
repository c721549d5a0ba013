"""Spellings of units in English, French and Spanish.

A spelling is looked up by its key: lower case, without accents, spaces, points, middle dots and
hyphens, so that `ft-lbs`, `ft.lbs` and `FT LBS` are one entry. A spelling that can mean two units
(a gallon, pounds in a torque box) leads to all of them; whoever reads it must ask.
Forms: common practice, no published source, unless the unit table names one.
"""

from typing import Final

from prep.rules.quantities.quantity import QUANTITIES, UNITS, Unit

_ACCENTS: Final = dict(zip("àâáäéèêëíîïóôöúûüñç", "aaaaeeeeiiiooouuunc", strict=True))
_UNACCENTED: Final = str.maketrans(_ACCENTS)
_KEY: Final = str.maketrans(_ACCENTS | dict.fromkeys(" \u00a0.·-–_*"))

# Symbol, then its other spellings as keys. What a unit's symbol itself spells is added below.
_PLAIN: Final[dict[str, str]] = {
    "m": "meter meters metre metres metro metros mt mts",
    "mm": "millimeter millimeters millimetre millimetres milimetro milimetros",
    "cm": "centimeter centimeters centimetre centimetres centimetro centimetros",
    "km": "kilometer kilometers kilometre kilometres kilometro kilometros",
    "µm": "um micron microns micra micras",
    "in": '" inch inches ins pouce pouces po pulg pulgs pulgada pulgadas',
    "ft": "' foot feet pied pieds pi pie pies",
    "yd": "yds yard yards verge verges yarda yardas",
    "mi": "mile miles milla millas",
    "thou": "thous mils",
    "m²": "sqm",
    "in²": "sqin sqinch po² pulg²",
    "ft²": "sqft pi² pie² pies²",
    "ha": "hectare hectares hectarea hectareas",
    "acre": "acres ac",
    "L": "l lt lts ltr liter liters litre litres litro litros",
    "mL": "milliliter milliliters millilitre millilitres mililitro mililitros",
    "cm³": "cc ccm",
    "in³": "cuin ci po³ pulg³",
    "US gal": "usg usgallon usgallons galus gallonus gallonsus gallonsamericains galonesus",
    "US qt": "usquart usquarts qtus",
    "US pt": "uspint uspints ptus",
    "US fl oz": "usfloz usfluidounce usfluidounces usoz flozus",
    "imp gal": "impgallon impgallons imperialgallon imperialgallons imperialgal galimp ukgal "
    "gallonimperial gallonsimperiaux galonimperial galonesimperiales",
    "imp qt": "impquart impquarts imperialquart imperialquarts qtimp ukqt",
    "imp pt": "imppint imppints imperialpint imperialpints ptimp ukpt",
    "imp fl oz": "impfluidounce impfluidounces impoz flozimp ukfloz",
    "kg": "kgs kilo kilos kilogram kilograms kilogramme kilogrammes kilogramo kilogramos",
    "g": "gr gram grams gramme grammes gramo gramos",
    "t": "tonne tonnes tonelada toneladas metricton metrictons",
    "lb": "lbs pound pounds lbm livre livres libra libras",
    "oz": "ozs ounce ounces once onces onza onzas",
    "US ton": "uston ustons shortton shorttons",
    "N": "newton newtons",
    "kN": "kilonewton kilonewtons",
    "lbf": "lbsf lb lbs pound pounds poundsforce livre livres libra libras",
    "kip": "kips",
    "kgf": "kp",
    "N·m": "mn nxm newtonmeter newtonmeters newtonmetre newtonmetres newtonmetro newtonmetros",
    "ft·lbf": "ftlb ftlbs lbft lbsft lbfft ft/lb ft/lbs ft/lbf lb/ft lbs/ft lbf/ft ft# #ft "
    "footpound footpounds footlb footlbs poundfoot poundfeet poundsfeet "
    "pilb pilbs lbpi lbspi pilbf lbfpi piedlivre piedslivre piedslivres livrepied livrespied "
    "livrespieds lbpie lbspie pielb pieslb pielibra pielibras pieslibras librapie libraspie "
    "libraspies",
    "in·lbf": "inlb inlbs lbin lbsin lbfin in/lb in/lbs in/lbf in# #in inchpound inchpounds "
    "inchlb inchlbs poundinch poundinches poundsinch polb polbs lbpo lbspo polbf lbfpo "
    "poucelivre pouceslivres livrepouce livrespouces pulglb pulglbs lbpulg lbspulg "
    "pulgadalibra pulgadaslibras librapulgada librapulgadas libraspulgada libraspulgadas",
    "kgf·m": "kgm mkg mkgf kpm mkp",
    "kgf·cm": "kgcm cmkg cmkgf",
    "bar": "bars bares",
    "psi": "psig lb/in² lbs/in² lbf/in² lb/sqin lbs/sqin #/in² lb/po² lbs/po² lbf/po² lb/pulg² "
    "lbs/pulg² lbf/pulg²",
    "kgf/cm²": "kg/cm²",
    "rad": "radian radians radianes",
    "°": "deg degs degree degrees degre degres grado grados",
    "arcmin": "' minofarc",
    "m/m": "mperm",
    "mm/m": "mmperm mmparm mmporm",
    "in/ft": 'inperft inch/foot inches/foot in/foot inchperfoot inchesperfoot "/ft "/\' po/pi '
    "poparpi pulg/pie pulgporpie",
    "% grade": "% percent pct pourcent porciento",
    "1/s": "/s rps rev/s r/s tr/s",
    "rpm": "/min rpms r/min rev/min revs/min tr/min tr/mn tours/min vueltas/min",
    "km/h": "kmh kph",
    "mph": "mi/h mi/hr miles/h",
    "ft/s": "fps ft/sec",
    "ft/min": "fpm",
    "in/s": "ips in/sec",
    "°C": "c degc degreesc celsius degcelsius degreescelsius degrescelsius degresc gradosc "
    "gradoscelsius gradoscentigrados centigrados",
    "°F": "f degf degreesf fahrenheit degreesfahrenheit degresfahrenheit degresf gradosf "
    "gradosfahrenheit",
    "K": "kelvin",
    "s": "sec secs second seconds seconde secondes seg segs segundo segundos",
    "min": "mins minute minutes minuto minutos",
    "h": "hr hrs hour hours heure heures hora horas",
    "d": "day days jour jours j dia dias",
    "W": "watt watts vatio vatios",
    "kW": "kilowatt kilowatts",
    "hp": "horsepower",
    "metric hp": "ch cv ps",
    "L/min": "lpm l/mn litres/min liters/min litros/min",
    "US gal/min": "usgpm",
    "imp gal/min": "impgpm",
    "1/m³": "/m³ perm³",
    "1/mL": "/ml perml particles/ml particlesperml",
    "1/cm³": "/cm³ percm³ particles/cm³",
    "1/K": "/k perk",
    "1/°C": "/°c /c /degc per°c perdegc",
    "1/°F": "/°f /f /degf per°f perdegf",
    "V": "volt volts voltio voltios vdc",
    "A": "amp amps ampere amperes amperio amperios",
    "%": "percent pct pourcent porciento",
    "count": "pc pcs piece pieces ea each turn turns stroke strokes pump pumps tour tours coup "
    "coups vuelta vueltas golpe golpes",
}

# (quantity, spellings, the units it may stand for)
_DOUBTFUL: Final[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
    ("length", "mil", ("thou",)),  # a thousandth to an American, a thousand in Spanish
    ("volume", "gal gals gl gallon gallons galon galones", ("US gal", "imp gal")),
    ("volume", "qt qts quart quarts pinte pintes cuarto cuartos", ("US qt", "imp qt")),
    ("volume", "pt pts pint pints chopine chopines pinta pintas", ("US pt", "imp pt")),
    (
        "volume",
        "oz ozs ounce ounces floz fluidounce fluidounces once onces onza onzas",
        ("US fl oz", "imp fl oz"),
    ),
    ("mass", "#", ("lb",)),
    ("mass", "ton tons", ("US ton", "t")),
    ("force", "#", ("lbf",)),
    ("force", "kg kgs kilo kilos", ("kgf",)),
    ("torque", "lb lbs # lbf pound pounds livre livres libra libras", ("ft·lbf", "in·lbf")),
    ("pressure", "lb lbs # pound pounds livre livres libra libras", ("psi",)),
    ("pressure", "kg kgs kilo kilos", ("kgf/cm²",)),
    ("temperature", "° deg degs degree degrees degre degres grado grados", ("°C", "°F")),
    ("power", "caballos cheval chevaux", ("hp", "metric hp")),
    ("flow", "gpm gal/min gallons/min galones/min", ("US gal/min", "imp gal/min")),
)

# Units a person is likely to have meant by a bare number, most usual first.
_USUAL: Final[dict[str, tuple[str, ...]]] = {
    "length": ("in", "mm", "cm", "ft"),
    "volume": ("L", "US gal", "US qt", "US pt", "US fl oz", "mL", "imp gal"),
    "mass": ("lb", "kg", "oz", "g"),
    "force": ("lbf", "N", "kN"),
    "torque": ("ft·lbf", "N·m", "in·lbf"),
    "pressure": ("psi", "bar", "kPa", "MPa"),
    "angle": ("°",),
    "slope": ("mm/m", "in/ft", "% grade"),
    "rotation": ("rpm",),
    "speed": ("mph", "km/h", "m/s", "ft/s", "ft/min"),
    "temperature": ("°C", "°F"),
    "time": ("h", "min", "s"),
    "power": ("hp", "kW"),
    "flow": ("US gal/min", "L/min"),
    "viscosity": ("cSt",),
    "particles": ("1/mL",),
    "thermal expansion": ("1/K", "1/°F"),
    "voltage": ("V",),
}


def plain(text: str) -> str:
    """Lower case without accents."""
    return text.lower().translate(_UNACCENTED)


def key(text: str) -> str:
    """The form under which a spelling is looked up."""
    return text.lower().translate(_KEY)


def _build() -> dict[str, dict[str, tuple[Unit, ...]]]:
    units: dict[str, dict[str, tuple[Unit, ...]]] = {name: {} for name in QUANTITIES}
    for each in UNITS.values():
        symbol = "" if each.symbol == "1" else key(each.symbol)  # nobody writes the unit one
        for spelling in f"{symbol} {_PLAIN.get(each.symbol, '')}".split():
            units[each.quantity][spelling] = (each,)
    for quantity, spellings, symbols in _DOUBTFUL:
        for spelling in spellings.split():
            units[quantity][spelling] = tuple(UNITS[symbol] for symbol in symbols)
    return units


SPELLINGS: Final = _build()
# A spelling that reads without a question, straight to its unit: the common case.
SURE: Final[dict[str, dict[str, Unit]]] = {}
for _quantity, _spellings in SPELLINGS.items():
    _asked = {s for q, text, _ in _DOUBTFUL if q == _quantity for s in text.split()}
    SURE[_quantity] = {s: units[0] for s, units in _spellings.items() if s not in _asked}


def meanings(text: str, quantity: str) -> tuple[Unit, ...]:
    """The units `text` may stand for in a box of this quantity: none, one, or ask.

    `mPa` is a millipascal by the book and a slip for MPa in a shop: see `sure`.
    """
    return SPELLINGS[quantity].get(key(text), ())


def sure(text: str, quantity: str) -> bool:
    """Whether the spelling stands for its unit without asking."""
    return key(text) in SURE[quantity] and not (quantity == "pressure" and text.strip() == "mPa")


def quantity_of(text: str) -> str | None:
    """A quantity that has a unit spelled so, to name what was typed into the wrong box."""
    spelling = key(text)
    return next((name for name, known in SPELLINGS.items() if spelling in known), None)


def usual(quantity: str) -> tuple[Unit, ...]:
    """Units to offer for a bare number, most usual first."""
    return tuple(UNITS[symbol] for symbol in _USUAL.get(quantity, ())) or QUANTITIES[quantity].units
