"""Computes units, the figures of joints and wrenches, and scores of reading again, by libraries nobody here wrote: pint, GNU units,
screw_thread_lib, textstat (with the CMU pronouncing dictionary).

Reads one JSON object a line from standard input: what was asked and what the program answered. Prints `N passed, 0 failed` and
exits with 1 on any failure. It shares no figure with the program but the questions.
"""

import json
import math
import subprocess
import sys

import pint
import textstat
from screw_thread_lib import Assembly
from textstat.backend.metrics import _chars_per_word, _syllables_per_word, _words_per_sentence

UNITS = pint.UnitRegistry()
Q = UNITS.Quantity

# Our units, by what they measure; the first is what each is converted to. In pint's words, and in those of GNU units.
UNITS_OF = {
    "torque": {
        "N·m": ("N*m", "N m"),
        "lbf·ft": ("lbf*ft", "lbf ft"),
        "lbf·in": ("lbf*inch", "lbf in"),
        "ozf·in": ("force_ounce*inch", "(ounce force) in"),
        "kgf·m": ("kgf*m", "kgf m"),
        "kgf·cm": ("kgf*cm", "kgf cm"),
        "cN·m": ("cN*m", "cN m"),
        "daN·m": ("daN*m", "daN m"),
    },
    # pint's `mil` is an angle.
    "length": {
        "mm": ("mm", "mm"),
        "cm": ("cm", "cm"),
        "m": ("m", "m"),
        "µm": ("um", "um"),
        "in": ("inch", "in"),
        "ft": ("ft", "ft"),
        "thou": ("thou", "mil"),
    },
    "force": {
        "N": ("N", "N"),
        "kN": ("kN", "kN"),
        "lbf": ("lbf", "lbf"),
        "kip": ("kip", "kip"),
        "kgf": ("kgf", "kgf"),
    },
    "pressure": {
        "bar": ("bar", "bar"),
        "mbar": ("mbar", "mbar"),
        "Pa": ("Pa", "Pa"),
        "kPa": ("kPa", "kPa"),
        "MPa": ("MPa", "MPa"),
        "N/mm²": ("N/mm^2", "N/mm^2"),
        "psi": ("psi", "psi"),
        "ksi": ("ksi", "kpsi"),
        "kgf/cm²": ("kgf/cm^2", "kgf/cm^2"),
        "torr": ("torr", "torr"),
    },
    "mass": {
        "kg": ("kg", "kg"),
        "g": ("g", "g"),
        "lb": ("lb", "lb"),
        "t": ("metric_ton", "tonne"),
        "long ton": ("long_ton", "brton"),
    },
    "volume": {
        "L": ("L", "L"),
        "mL": ("mL", "mL"),
        "cm³": ("cm^3", "cm^3"),
        "m³": ("m^3", "m^3"),
        "ft³": ("ft^3", "ft^3"),
        "US gal": ("gallon", "gallon"),
        "imperial gal": ("imperial_gallon", "brgallon"),
    },
    "flow": {
        "L/min": ("L/min", "L/min"),
        "L/h": ("L/hour", "L/hour"),
        "m³/h": ("m^3/hour", "m^3/hour"),
        "US gal/min": ("gallon/min", "gallon/min"),
        "ft³/min": ("ft^3/min", "ft^3/min"),
    },
}
# torr is a share of an atmosphere: libraries round it, or take millimetres of mercury.
LOOSE = {"torr": 2e-7}


# A score is a difference of large figures, and may be nothing: what is left of their sixteen digits.
APART = {"score": 1e-9}


def near(one, other, share, apart=0.0):
    """Returns whether two numbers are the same but for a share, or for as much as they may be apart."""
    return math.isclose(one, other, rel_tol=share, abs_tol=apart)


def converted(case, gnu):
    """A quantity in the first unit of its dimension, by two unit libraries."""
    units, unit = UNITS_OF[case["dimension"]], case["unit"]
    by_pint = Q(case["number"], units[unit][0]).to(next(iter(units.values()))[0]).magnitude
    share = LOOSE.get(unit, 1e-12)
    return [(by_pint, share), (case["number"] * gnu[case["dimension"], unit], share)]


def warmth(case, _gnu):
    """A temperature on the other scale, by pint: offset and factor."""
    names = {"°C": "degC", "°F": "degF"}
    return [(Q(case["number"], names[case["unit"]]).to(names[case["to"]]).magnitude, 1e-9)]


def inch_area(case):
    """A stress area in mm², by the thread library, formula 1b of FED-STD-H28/2B; it rounds no constant."""
    area = Assembly.from_ASME_B11_UN_2A2B(case["designation"]).As_FEDSTD_1b()
    return [(Q(area, "inch^2").to("mm^2").magnitude, 2e-5)]


def metric_area(case):
    """A stress area in mm², by the thread library, ISO/TR 16224."""
    area = Assembly.from_database("ASME_M_6g6H", case["designation"]).As_ISO()
    return [(Q(area, "inch^2").to("mm^2").magnitude, 1e-9)]


def short_torque(case):
    """T = K d F with units."""
    torque = case["factor"] * Q(case["diameter"], "mm") * Q(case["force"], "N")
    return [(torque.to("N*m").magnitude, 1e-12)]


def short_preload(case):
    """F = T / (K d) with units."""
    force = Q(case["torque"], "N*m") / (case["factor"] * Q(case["diameter"], "mm"))
    return [(force.to("N").magnitude, 1e-12)]


def band_end(case):
    """An end of a preload's band: the torque that the wrench may give, at the factor of that end."""
    given = Q(case["torque"], "N*m") * (1 + case["off"])
    return [((given / (case["factor"] * Q(case["diameter"], "mm"))).to("N").magnitude, 1e-12)]


def stress_share(case):
    """The share of a stress, from the torque on, with the area computed here."""
    pitch, diameter = Q(case["pitch"], "mm"), Q(case["diameter"], "mm")
    height = math.sqrt(3) / 2 * pitch
    between = (diameter - 3 / 4 * height + diameter - 5 / 4 * height - height / 6) / 2
    force = Q(case["torque"], "N*m") / (case["factor"] * diameter)
    stress = force / (math.pi / 4 * between**2)
    return [((stress / Q(case["reference"], "MPa")).to("dimensionless").magnitude, 1e-9)]


def friction_torque(case):
    """VDI 2230-1 and ISO 16047, from the geometry on: the wedge of the thread, friction in it, friction under the head.

    The constants are not rounded here (1 / 2π and 1 / (2 cos 30°)), so it agrees to a hundredth.
    """
    pitch, diameter = Q(case["pitch"], "mm"), Q(case["diameter"], "mm")
    mean = diameter - 3 / 8 * math.sqrt(3) * pitch
    lever = pitch / (2 * math.pi) + case["thread_friction"] * mean / (2 * math.cos(math.radians(30)))
    lever = lever + case["head_friction"] * Q(case["bearing"], "mm") / 2
    return [((lever * Q(case["force"], "N")).to("N*m").magnitude, 1e-2)]


def assembly_preload(case):
    """The preload at which tension and torsion use a share of the yield (von Mises), from the geometry on."""
    pitch, diameter = case["pitch"], case["diameter"]
    mean = diameter - 3 / 8 * math.sqrt(3) * pitch
    core = (mean + diameter - 17 / 24 * math.sqrt(3) * pitch) / 2
    area = math.pi / 4 * core**2
    # Torsion 16 M / (π d³), raised by 3/4 where the whole section yields: 12 M / (π d³).
    moment = pitch / (2 * math.pi) + case["thread_friction"] * mean / (2 * math.cos(math.radians(30)))
    tension, torsion = 1 / area, 12 * moment / (math.pi * core**3)
    force = case["utilisation"] * case["yield"] / math.sqrt(tension**2 + 3 * torsion**2)
    return [(force, 1e-3)]


def setting(case):
    """Moments about the drive, as vectors: the hand pulls across the handle, the fastener lies along the adapter."""
    length, reach = Q(case["length"], "mm"), Q(case["reach"], "mm")
    along = length + reach * math.cos(Q(case["angle"], "degree").to("radian").magnitude)
    pull = Q(case["torque"], "N*m") / along
    return [((pull * length).to("N*m").magnitude, 1e-12)]


class Counts(str):
    """A text of which only the counts are known: textstat is handed them in place of its own counting."""

    def __new__(cls, case):
        return super().__new__(cls, json.dumps(case, sort_keys=True))


def counted(name):
    """Returns a function that answers a question of textstat for a count of a text."""
    return lambda text, *_, **__: json.loads(text)[name]


def score(case):
    """A score of reading by textstat's formula, from counts."""
    _words_per_sentence.count_sentences = counted("sentences")
    _words_per_sentence.count_words = _chars_per_word.count_words = _syllables_per_word.count_words = counted("words")
    _syllables_per_word.count_syllables = counted("syllables")
    _chars_per_word.count_chars = counted("characters")
    formula = {
        "ease": textstat.flesch_reading_ease,
        "grade": textstat.flesch_kincaid_grade,
        "index": textstat.automated_readability_index,
    }[case["score"]]
    return [(formula(Counts(case)), 1e-12)]


KINDS = {
    "score": score,
    "inch-area": inch_area,
    "metric-area": metric_area,
    "short-torque": short_torque,
    "short-preload": short_preload,
    "band-end": band_end,
    "stress-share": stress_share,
    "friction-torque": friction_torque,
    "assembly-preload": assembly_preload,
    "setting": setting,
}


def factors():
    """Returns what one of each unit is in the first unit of its dimension, by GNU units."""
    asked = [(dimension, unit) for dimension, units in UNITS_OF.items() for unit in units]
    pairs = [(UNITS_OF[dimension][unit][1], next(iter(UNITS_OF[dimension].values()))[1]) for dimension, unit in asked]
    text = "".join(f"{unit}\n{target}\n" for unit, target in pairs)
    run = subprocess.run(["units", "-q", "-t", "-d", "17"], input=text, capture_output=True, text=True, check=True)
    answers = [float(line) for line in run.stdout.split()]
    assert len(answers) == len(asked), run.stdout
    return dict(zip(asked, answers))


# What syllables may be off by, a word: a reading ease may be off by 10 (what the tests of single sentences allow a rule for
# syllables against a dictionary), and one syllable a word is 84.6 in it. It was stated before the words were counted. If every
# word that differs differs by one, 88.2 % must agree.
SYLLABLES_A_WORD = 10 / 84.6


def syllables(cases):
    """Says how far syllables by rule are from those of the dictionary, and whether that is near enough."""
    apart = [abs(case["answer"] - textstat.syllable_count(case["word"])) for case in cases]
    agree, mean = apart.count(0) / len(apart), sum(apart) / len(apart)
    print(f"syllables of {len(apart)} words: {agree:.1%} agree, {mean:.3f} a word off, at most {max(apart)} in one")
    return mean <= SYLLABLES_A_WORD


WITH_UNITS = {"converted": converted, "warmth": warmth}


def main():
    gnu = factors()
    passed, failed, seen, words = 0, 0, set(), []
    for line in sys.stdin:
        case = json.loads(line)
        if case["kind"] == "syllables":
            words.append(case)
            continue
        seen.add(case["kind"])
        own = WITH_UNITS.get(case["kind"])
        expected = own(case, gnu) if own else KINDS[case["kind"]](case)
        for value, share in expected:
            if near(case["answer"], value, share, APART.get(case["kind"], 0.0)):
                passed += 1
            else:
                failed += 1
                print(f"{case}: {value} was computed here")
    near_enough = len(words) > 500 and syllables(words)
    passed, failed = passed + near_enough, failed + (not near_enough)
    missing = {*KINDS, *WITH_UNITS} - seen
    if missing:
        failed += len(missing)
        print(f"nothing was asked of {sorted(missing)}")
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
