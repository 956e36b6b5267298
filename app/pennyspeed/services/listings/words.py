"""Words of listings, English and German: what they say of the figure beside them.

To add one, put it behind its meaning, in lower case; an umlaut may also be written out.
"""

from __future__ import annotations

# What a figure is.
_FIGURES = {
    "continuous": "continuous cont constant dauer dauerhaft dauerstrom "
    "dauerbelastung dauerlast nennstrom",
    "current": "current strom strombelastung amps",
    "burst": "burst kurz peak pulse spitze spitzen spitzenstrom kurzzeitig "
    "impulsstrom spitzenbelastung",
    "max": "max maximum maximal maximale maximaler maxstrom limit rated bis höchstens most top",
    "no load": "i0 io no-load leerlauf leerlaufstrom no_load idle",
    "at": "at bei @",
    "resistance": "resistance widerstand innenwiderstand rm ri r on-resistance on_resistance ir",
    "cell": "cell cells zelle zellen je_zelle per_cell",
    "inductance": "inductance induktivität l",
    "shaft": "shaft shafts welle wellendurchmesser wellen-ø motorwelle axle spindle wellenmaß",
    "bore": "bore bohrung innendurchmesser hole bohrungsdurchmesser",
    "diameter": "diameter durchmesser dia ø od außendurchmesser can kanne tall",
    "length": "length länge long lang baulänge motorlänge",
    "shaft length": "wellenlänge shaft_length",
    "size": "size größe baugröße maße abmessungen dimensions abmessung grösse masse_lxbxh case",
    "mass": "weight gewicht masse mass wt weighs wiegt eigengewicht leergewicht",
    "speed": "speed drehzahl höchstdrehzahl maximaldrehzahl rpm",
    "rated": "rated rating freigegeben zugelassen good_for",
    "wheelbase": "wheelbase radstand wb",
    "internal": "internal innere interne intern getriebeübersetzung",
    "ratio": "ratio übersetzung untersetzung",
    "drag": "cd cw cw-wert drag",
    "area": "area stirnfläche frontal",
    "motor": "motors motor motoren",
    "connector": "connector connectors plug plugs stecker steckverbinder anschluss steckertyp "
    "buchse",
    "charge": "charge charging laden ladestrom ladung laderate recharge",
}

# Of what else a figure is, so that it is none of the part's.
_STRANGERS = {
    "bec": "bec sbec ubec receiver_supply",
    "fan": "fan fans lüfter cooling_fan lüfterspannung",
    "wire": "wire wires cable cables kabel kabellänge leads lead awg silikonkabel draht litze",
    "plug size": "bullet bullets goldstecker goldkontakt goldkontakte plugs banana",
    "screw": "screw screws schraube schrauben grub gewinde thread bolt bolts madenschraube holes "
    "lochabstand bohrbild mounting",
    "width": "wide width breit breite breiten offset",
    "hex": "hex sechskant felge felgen mitnehmer rim thick thickness dick stärke",
    "package": "package packaging paket verpackung karton box parcel verpackungsmaße "
    "paketgewicht packmaß",
    "shipping": "shipping versandgewicht shipment gross brutto bruttogewicht",
    "without": "ohne w/o without less minus excluding exkl excl fahrfertig rtr ready-to-run apiece",
    "each": "je per pro each pair paar",
    "axle": "front fronts rear rears vorne vorn hinten va ha",
    "suits": "suits fits suitable compatible passend passt geeignet fitting replaces ersetzt "
    "recommended empfohlen similar ähnlich compare tested getestet requires benötigt instead "
    "available erhältlich verfügbar variants varianten versions versionen options also auch "
    "alternativ "
    "needs limits used_with runs_on empfehlung",
    "for": "for für",
    "not": "not nicht kein keine no never nor don't isn't ohne_",
    "bound": "under below unter less weniger unterhalb",
    "hot": "below unter temperature temperatur grad degrees celsius warm hot heiß",
    "nimh": "nimh nicd ni-mh ni-cd",
    "charger": "charger ladegerät lader ladegeraet netzteil",
    "time": "warranty garantie months monate years jahre",
    "combo": "combo kombi bundle zusammen together kombination kombiset",
    "beside": "with mit inkl incl including includes comes inklusive samt dabei dazu + plus",
    "ran": "ran driven gefahren gelaufen reached erreicht",
    "sold": "sold verkauft vergeben gone weg reserved reserviert",
    "wanted": "wanted looking suche wtb searching gesucht",
    "extra": "card programmkarte programmierkarte programmer adapter spare extra aufpreis "
    "surcharge "
    "optional insurance versicherung deposit pfand",
    "number": "no nr part-no art artikel artikelnummer order sku ean model modell tel telefon "
    "phone call bestellnummer art-nr artnr ref",
    "many": "both beide beiden pair zusammen all alle lot bundle zusammen",
}

# What stands beside a price.
_PRICES = {
    "old price": "was statt instead rrp uvp np neupreis neu regular old list before originally "
    "vorher früher msrp bisher neuwert previously streichpreis ursprünglich retail saved save "
    "ersparnis sparen you_save rabatt discount off",
    "postage": "postage versand porto p&p shipping delivery versandkosten plus zzgl zuzüglich "
    "versicherter lieferung post tracked fracht",
    "from": "from ab starting over mindestens minimum",
    "now": "now nur jetzt only asking ask vb festpreis price preis sale sale_price today heute "
    "stückpreis reduced angebot aktionspreis offer want each",
}

# What kind of part a text is about: the thing itself.
THINGS = {
    "motor": "motor motors motoren brushless-motor brushlessmotor elektromotor inrunner outrunner "
    "bl-motor",
    "controller": "esc escs controller controllers regler fahrregler drehzahlregler fahrtenregler "
    "motorregler brushlessregler brushless-regler speedo",
    "pack": "pack packs akku akkus battery batteries batterie lipo lipos akkupack lipo-akku "
    "lipoakku fahrakku accu",
    "pinion": "pinion pinions ritzel motorritzel stahlritzel",
    "spur": "spur spurs hauptzahnrad hauptzahnräder spurgear",
    "gear": "gear gears zahnrad zahnräder cog cogs",
    "tyres": "tyre tyres tire tires reifen reifensatz räder komplettreifen radsatz slicks",
    "body": "body bodies bodyshell shell karosserie karo karosse haube lexankarosserie",
    "chassis": "chassis chassiskit frame rahmen fahrgestell rolling-chassis roller",
    "extras": "servo servos receiver empfänger logger datenlogger ballast antenna antenne "
    "transponder gyro ballastgewicht lenkservo telemetry telemetrie sender",
    "none": "transformer transformator trafo charger ladegerät lader netzteil generator "
    "alternator chair stuhl bicycle fahrrad drill bohrmaschine laptop phone handy capacitor "
    "cutter mower rasenmäher vacuum staubsauger pump pumpe fridge lamp lampe drone drohne "
    "quadcopter airplane flugzeug heli helicopter hubschrauber boat boot book buch",
}

_ACCESSORIES = (
    "mount mounts holder holders puller strap straps clip clips post posts glue bag bags sack "
    "halter halterung motorhalter abzieher tool wrench adapter adaptor plate cover guard bracket "
    "heatsink kühlkörper kühler motorkühler motorhalterung akkuhalter karosseriehalter sticker "
    "stickers tray motorträger extension verlängerung alarm checker spacer bearing bearings "
    "kugellager lager"
)
ACCESSORIES = frozenset(_ACCESSORIES.split())
"""Behind the name of a thing they make another one of it."""

CONNECTOR_WORDS = frozenset(_FIGURES["connector"].split())

DRIVES = {
    "rear": "rwd 2wd rear-wheel rear_wheel heckantrieb hinterradantrieb heck",
    "front": "fwd front_wheel front-wheel frontantrieb vorderradantrieb",
    "all": "4wd awd allrad allradantrieb all-wheel all_wheel four_wheel",
}

# Words that begin with a capital and are no name.
_COMMON = (
    "selling sell sale for fs ft wtb hi hello moin hallo verkaufe verkauf biete suche gebraucht "
    "neu neue neuer new used offered offer offering up my the a an der die das ein eine einen und "
    "and or oder mit with macht schneller schnelle abzugeben anyone want delrin alloy cotton "
    "carbon brass messing titanium titan acetal lexan graphite gps inrunner outrunner "
    "brushless brushed sensored sensorless bürstenlos sensorgesteuert "
    "waterproof wasserdicht steel stahl gehärtet hardened alu aluminium aluminum kunststoff nylon "
    "plastic foam moosgummi gummi rubber belted set satz pair paar stück pcs lot hardcase shorty "
    "stick softcase hard soft case lipo nimh li-po speed rolling touring road car cars pan buggy "
    "truck drift race racing competition digital analog clear painted lackiert klar edition "
    "version type typ artikel article item product produkt name title titel spec specs "
    "specification specifications technische daten description beschreibung condition zustand "
    "details features lightly barely leicht hardly ran twice good very sehr gut top nice here is "
    "this hier tausche privatverkauf preis price gear gearbox mod modul module pitch kanal "
    "channel wheel wheels rad spare ersatz ersatzteil original ovp genuine only nur now jetzt "
    "one two zwei drei three i im in of von on auf by ich wir we our as like wie all combo kombi "
    "high performance power pro_ marked labelled mein meine meinen selbst one-off electric "
    "elektro modellbau rc scale maßstab und/oder front rear vorder hinter innen außen hobby "
    "wood box please bitte gegen abholung posted shipped"
)


LABELS = frozenset(_FIGURES) - {"motor", "connector", "current"}
"""Meanings that say which figure is meant."""


def _meanings() -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for table in (_FIGURES, _STRANGERS, _PRICES):
        for meaning, words in table.items():
            for word in words.split():
                for spelled in {word, _written_out(word)}:
                    found.setdefault(spelled.replace("_", " "), set()).add(meaning)
    return {word: frozenset(meanings) for word, meanings in found.items()}


def _written_out(word: str) -> str:
    for umlaut, two in (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("ß", "ss")):
        word = word.replace(umlaut, two)
    return word


def _by_word(table: dict[str, str]) -> dict[str, str]:
    return {
        spelled.replace("_", " "): meaning
        for meaning, words in table.items()
        for word in words.split()
        for spelled in (word, _written_out(word))
    }


MEANINGS = _meanings()
"""Word, or two of them with a space, to what it says of the figure beside it."""

KIND_OF_THING = _by_word(THINGS)
DRIVE_OF = _by_word(DRIVES)

KNOWN = frozenset((*MEANINGS, *KIND_OF_THING, *ACCESSORIES, *_COMMON.split()))
"""Words that are no part of a name."""

# German puts words together; the last of them says what the whole is.
ENDINGS = (
    "motor", "regler", "akku", "ritzel", "zahnrad", "karosserie", "reifen", "gewicht", "strom",
    "durchmesser", "länge", "drehzahl", "widerstand", "stecker", "bohrung", "halter", "kabel",
)  # fmt: skip
