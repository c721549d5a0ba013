"""The spellings of units in English, French and Spanish: data, to be added to.

A spelling stands here in the form under which it is looked up: lower case, without accents, blanks,
points, middle dots, hyphens and brackets, so that `ft-lbs`, `ft.lbs` and `FT LBS` are one.
Forms: common practice, no published source, unless the unit table names one.
"""

from typing import Final

# Symbol, then its other spellings. What a symbol itself spells is added where they are looked up.
NAMES: Final[dict[str, str]] = {
    "m": "meter meters metre metres metro metros mt mts",
    "mm": "millimeter millimeters millimetre millimetres milimetro milimetros",
    "cm": "centimeter centimeters centimetre centimetres centimetro centimetros",
    "km": "kms kilometer kilometers kilometre kilometres kilometro kilometros",
    "µm": "um micron microns micra micras",
    "in": '" inch inches ins pouce pouces po pulg pulgs plg pulgada pulgadas',
    "ft": "' foot feet pied pieds pi pie pies",
    "yd": "yds yard yards verge verges yarda yardas",
    "mi": "mile miles mille milles milla millas",
    "thou": "thous mils thousandth thousandths thousandthsofaninch",
    "m²": "sqm squaremeter squaremeters metrecarre metrescarres metrocuadrado metroscuadrados",
    "cm²": "sqcm squarecentimeter squarecentimeters centimetrecarre centimetrescarres "
    "centimetrocuadrado centimetroscuadrados",
    "in²": "sqin sqinch sqinches squareinch squareinches inch² po² poucecarre poucescarres pulg² "
    "plg² pulgadacuadrada pulgadascuadradas",
    "ft²": "sqft squarefoot squarefeet pi² piedcarre piedscarres pie² pies² piecuadrado "
    "piescuadrados",
    "ha": "hectare hectares hectarea hectareas",
    "acre": "acres ac",
    "L": "l lt lts ltr liter liters litre litres litro litros",
    "dL": "deciliter deciliters decilitre decilitres decilitro decilitros",
    "cL": "centiliter centiliters centilitre centilitres centilitro centilitros",
    "mL": "milliliter milliliters millilitre millilitres mililitro mililitros",
    "m³": "cubicmeter cubicmeters metrecube metrescubes metrocubico metroscubicos",
    "cm³": "cc ccm",
    "in³": "cuin ci po³ pulg³",
    "US gal": "usg",
    "kg": "kgs kilo kilos kilogram kilograms kilogramme kilogrammes kilogramo kilogramos",
    "g": "gr gram grams gramme grammes gramo gramos",
    "t": "tonne tonnes tonelada toneladas metricton metrictons tonnemetrique tonnesmetriques "
    "toneladametrica toneladasmetricas",
    "lb": "lbs pound pounds lbm livre livres libra libras",
    "oz": "ozs ounce ounces once onces onza onzas",
    "US ton": "ustons tonus tonsus shortton shorttons toneladacorta toneladascortas",
    "N": "newton newtons",
    "kN": "kilonewton kilonewtons",
    "lbf": "lbsf lb lbs pound pounds poundsforce livre livres libra libras",
    "kip": "kips",
    "kgf": "kp",
    "N·m": "mn nxm",
    "ft·lbf": "ft# #ft",
    "in·lbf": "in# #in",
    "kgf·m": "mkg mkgf kpm mkp",
    "kgf·cm": "cmkg cmkgf",
    "Pa": "pascal pascals pascales",
    "kPa": "kilopascal kilopascals kilopascales",
    "MPa": "megapascal megapascals megapascales",
    "bar": "bars bares",
    "mbar": "millibar millibars milibar milibares",
    "psi": "psig lb/sqin",
    "kgf/cm²": "kg/cm²",
    "inHg": '"hg inchesofmercury inchofmercury pulghg pohg',
    "mmHg": "millimetersofmercury",
    "inH₂O": 'inh2o inh²o "h2o "h²o inwc "wc inchesofwater',
    "rad": "radian radians radianes",
    "°": "deg degs degree degrees degre degres grado grados",
    "arcmin": "' min mins minute minutes minuto minutos minofarc",
    "arcsec": '" sec secs second seconds seconde secondes segundo segundos',
    "turn": "turns tour tours vuelta vueltas rev revolution revolutions",
    "m/m": "mperm",
    "mm/m": "mmperm mmparm mmporm",
    "in/ft": "\"/'",
    "% grade": "% percent pct pourcent porciento",
    "1/s": "/s rps",
    "Hz": "hertz hertzios",
    "rpm": "/min rpms rpm's tpm",
    "km/h": "kmh kph",
    "ft/s": "fps",
    "ft/min": "fpm",
    "in/s": "ips",
    "°C": "c degc degreesc celsius centigrade degcelsius degreescelsius degrescelsius degresc "
    "gradosc gradoscelsius gradoscentigrados centigrados",
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
    "L/min": "lpm",
    "US gal/min": "usgpm gpmus",
    "imp gal/min": "impgpm gpmimp",
    "cSt": "centistokes centistoke",
    "cP": "centipoise centipoises",
    "1/m³": "/m³ perm³",
    "1/mL": "/ml perml particles/ml particlesperml",
    "1/cm³": "/cm³ percm³ particles/cm³",
    "1/K": "/k perk",
    "1/°C": "/°c /c /degc per°c perdegc",
    "1/°F": "/°f /f /degf per°f perdegf",
    "V": "volt volts voltio voltios vdc voltsdc vcc",
    "mV": "millivolt millivolts milivoltio milivoltios",
    "mA": "milliamp milliamps miliamperio miliamperios",
    "A": "amp amps ampere amperes amperio amperios",
    "%": "percent pct pourcent porciento",
    "count": "pc pcs piece pieces pieza piezas ea each turn turns tour tours vuelta vueltas "
    "stroke strokes pump pumps coup coups coupsdepompe golpe golpes bombeo bombeos "
    "bolt bolts boulon boulons perno pernos tornillo tornillos nut nuts ecrou ecrous tuerca "
    "tuercas stud studs screw screws vis pin pins clip clips fastener fasteners wheel wheels roue "
    "roues rueda ruedas blade blades lame lames cuchilla cuchillas tooth teeth dent dents "
    "diente dientes shim shims spacer spacers hole holes",
}

# A unit made of two: each spelling of the one with each of the other, in both orders, joined or
# with a stroke. A wrench's dial says ft/lb where it means foot-pounds.
_KGF: Final = "kg kgf kp kilo kilos kilogramo kilogramos"
_LBF: Final = "lb lbs lbf lbsf pound pounds livre livres libra libras"
_METER: Final = "m meter meters metre metres metro metros"
_FOOT: Final = "ft foot feet pi pied pieds pie pies"
_INCH: Final = "in inch inches po pouce pouces pulg plg pulgada pulgadas"
PRODUCTS: Final[dict[str, tuple[str, str, tuple[str, ...]]]] = {
    "N·m": ("n newton newtons", _METER, ("",)),
    "kN·m": ("kn", "m", ("",)),
    "daN·m": ("dan", "m", ("",)),
    "kgf·m": (_KGF, _METER, ("",)),
    "kgf·cm": (_KGF, "cm", ("",)),
    "ft·lbf": (_FOOT, _LBF, ("", "/")),
    "in·lbf": (_INCH, _LBF, ("", "/")),
}

# A unit by another: each spelling of the one over each of the other. The words for "by" (per, par,
# por, à l'…) are a stroke when a spelling is looked up.
_SECOND: Final = "s sec secs second seconds seconde secondes seg segundo segundos"
_MINUTE: Final = "min mins mn minute minutes minuto minutos"
_HOUR: Final = "h hr hrs hour hours heure heures hora horas"
_TURNS: Final = (
    "flash flashes destello destellos eclair eclairs "
    "r rev revs revolution revolutions revolucion revoluciones tr trs tour tours turn turns vuelta "
    "vueltas"
)
QUOTIENTS: Final[dict[str, tuple[str, str]]] = {
    "1/s": (_TURNS, _SECOND),
    "rpm": (_TURNS, _MINUTE),
    "m/s": ("m", _SECOND),
    "m/min": ("m", _MINUTE),
    "mm/s": ("mm", _SECOND),
    "mm/min": ("mm", _MINUTE),
    "km/h": ("km", _HOUR),
    "mph": ("mi", _HOUR),
    "ft/s": ("ft", _SECOND),
    "ft/min": ("ft", _MINUTE),
    "in/s": ("in", _SECOND),
    "in/min": ("in", _MINUTE),
    "in/ft": ("in", "ft"),
    "mm/m": ("mm", "m"),
    "psi": (_LBF + " #", "in²"),
    "kgf/cm²": (_KGF, "cm²"),
    "m³/h": ("m³", _HOUR),
    "m³/s": ("m³", _SECOND),
    "L/s": ("L", _SECOND),
    "L/min": ("L", _MINUTE),
    "L/h": ("L", _HOUR),
    "mL/min": ("mL+cm³", _MINUTE),
    "US gal/min": ("US gal", _MINUTE),
    "imp gal/min": ("imp gal", _MINUTE),
    "°/s": ("°", _SECOND),
    "kg/L": ("kg", "l liter litre litro"),
}

# Measures of two countries: a name that a word makes sure, before it or after it.
MEASURES: Final = {
    "gal": "gal gals gl gallon gallons galon galones",
    "qt": "qt qts quart quarts pinte pintes cuarto cuartos",
    "pt": "pt pts pint pints chopine chopines pinta pintas",
    "fl oz": "floz oz ozs ounce ounces fluidounce fluidounces once onces onza onzas onceliquide "
    "oncesliquides onzaliquida onzasliquidas",
}
COUNTRIES: Final = {
    "US": "us usa eeuu americain americains americano americanos american",
    "imp": "imp imperial imperials imperiale imperiales imperiaux uk british britanico",
}

# (quantity, spellings, the units it may stand for): whoever reads one of these must ask.
DOUBTFUL: Final[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
    ("length", "mil", ("thou",)),  # a thousandth to an American, a thousand in Spanish
    *(
        ("volume", names, (f"US {measure}", f"imp {measure}"))
        for measure, names in MEASURES.items()
    ),
    ("mass", "#", ("lb",)),
    ("mass", "ton tons", ("US ton", "t")),
    ("force", "#", ("lbf",)),
    ("force", "kg kgs kilo kilos", ("kgf",)),
    ("torque", _LBF + " #", ("ft·lbf", "in·lbf")),
    ("torque", "kg kgs kilo kilos", ("kgf·m", "kgf·cm")),
    ("torque", "n/m", ("N·m",)),
    ("torque", "kg/m kgf/m", ("kgf·m",)),
    ("pressure", _LBF.replace("lbf lbsf ", "") + " #", ("psi",)),
    ("pressure", "kg kgs kilo kilos", ("kgf/cm²",)),
    ("temperature", "° deg degs degree degrees degre degres grado grados", ("°C", "°F")),
    ("time", "m '", ("min",)),
    ("power", "caballo caballos cheval chevaux", ("hp", "metric hp")),
    ("flow", "gpm", ("US gal/min", "imp gal/min")),
)

# (quantity, the very letters, the units they may stand for): capitals that make a doubt.
CASED: Final[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
    ("pressure", "mPa", ("MPa",)),  # a millipascal by the book, a slip for MPa in a shop
    ("mass", "T", ("US ton", "t")),
)
