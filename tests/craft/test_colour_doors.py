"""What the colour package loads, that it says where its figures come from, and what it refuses."""

from __future__ import annotations

import importlib
import math
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest

import studio.craft.colour
from studio.craft.colour import observer
from studio.craft.colour.apart import as_seen, ciede2000, confused, too_close
from studio.craft.colour.dye_curve import (
    AbsorptionBand,
    absorptivity_l_g_cm,
    at_surface,
    below_surface,
    curve_from_maximum,
    dyed_reflectance,
    ks,
    reflectance,
)
from studio.craft.colour.observer import hex_of_lab, lab_of_hex, lab_of_xyz, xyz_of_reflectance
from studio.craft.colour.preview import curve_from_swatch, mixture, preview, undyed_from_lab

MODULES = sorted(info.name for info in pkgutil.iter_modules(studio.craft.colour.__path__))
NAN, INF = math.nan, math.inf


def test_importing_every_module_loads_no_library():
    names = ["studio.craft.colour", *(f"studio.craft.colour.{name}" for name in MODULES)]
    child = f"import sys, {', '.join(names)}\nprint(sorted({{m.split('.')[0] for m in sys.modules}}))"
    run = subprocess.run([sys.executable, "-c", child], capture_output=True, text=True, check=True)
    loaded = set(re.findall(r"'(\w+)'", run.stdout))
    assert "studio" in loaded
    assert not loaded & {"coloraide", "colour", "numpy", "pint", "rich", "textual"}


def test_one_module_alone_reads_the_spectral_tables():
    folder = Path(studio.craft.colour.__file__).parent
    readers = {path.name for path in folder.glob("*.py") if re.search(r"cmfs|illuminants", path.read_text())}
    assert readers == {"observer.py"}


def test_every_public_function_names_its_source():
    for name in MODULES:
        module = importlib.import_module(f"studio.craft.colour.{name}")
        for thing_name, thing in vars(module).items():
            owned = getattr(thing, "__module__", None) == module.__name__ and callable(thing)
            if owned and not thing_name.startswith("_"):
                text = thing.__doc__ or ""
                assert "**Source:**" in text, (name, thing_name)
                assert ">>>" in text or isinstance(thing, type), (name, thing_name)


def test_a_library_with_other_tables_is_refused(monkeypatch):
    import coloraide.illuminants

    lamp = dict.fromkeys(range(300, 781, 5), 100.0)
    monkeypatch.setattr(coloraide.illuminants, "D65", lamp)
    with pytest.raises(ValueError, match="not the CIE ones; install coloraide"):
        observer._tables()
    monkeypatch.setattr(coloraide.illuminants, "D65", {300: 1.0})
    with pytest.raises(ValueError, match="not the CIE ones; install coloraide"):
        observer._tables()


def _dye():
    return curve_from_maximum(500, 50)


REFUSED = {
    "reflectance above 1": lambda: ks(1.1),
    "reflectance nan": lambda: ks(NAN),
    "K/S below 0": lambda: reflectance(-0.1),
    "K/S infinite": lambda: reflectance(INF),
    "undyed below 0": lambda: dyed_reflectance(-0.1, 1),
    "dye nan": lambda: dyed_reflectance(0.8, NAN),
    "spectrum too short": lambda: xyz_of_reflectance([0.5] * 41),
    "spectrum above 1": lambda: xyz_of_reflectance([0.5] * 80 + [1.5]),
    "peak in the infra-red": lambda: curve_from_maximum(900, 50),
    "peak nan": lambda: curve_from_maximum(NAN, 50),
    "absorptivity 0": lambda: curve_from_maximum(500, 0),
    "molar absorptivity by mistake": lambda: curve_from_maximum(500, 26_800),
    "content 0": lambda: curve_from_maximum(500, 50, dye_content_percent=0),
    "content 120": lambda: curve_from_maximum(500, 50, dye_content_percent=120),
    "wavelength": lambda: absorptivity_l_g_cm((), 200),
    "inside above 1": lambda: at_surface(1.1),
    "measured nan": lambda: below_surface(NAN),
    "swatch at no depth": lambda: curve_from_swatch((45, 50, 20), 0),
    "swatch of two numbers": lambda: curve_from_swatch((45, 50), 1),
    "swatch lighter than the yarn": lambda: curve_from_swatch((97, 0, 0), 1),
    "swatch bluer than cream yarn allows": lambda: curve_from_swatch((75, 0, -21), 1),
    "depth 25": lambda: preview([(_dye(), 25)]),
    "depth nan": lambda: preview([(_dye(), NAN)]),
    "too much together": lambda: preview([(_dye(), 15), (_dye(), 15)]),
    "mixture of nothing": lambda: mixture([], 1),
    "mixture of zeros": lambda: mixture([(_dye(), 0)], 1),
    "mixture with less than nothing": lambda: mixture([(_dye(), 2), (_dye(), -1)], 1),
    "undyed brighter than white": lambda: undyed_from_lab((100, 30, -60)),
    "undyed black": lambda: undyed_from_lab((0, 0, 0)),
    "hex of three": lambda: lab_of_hex("#fff"),
    "hex of a long line": lambda: lab_of_hex("#ff\n" * 5000),
    "lightness 120": lambda: hex_of_lab((120, 0, 0)),
    "lab nan": lambda: ciede2000((50, NAN, 0), (50, 0, 0)),
    "xyz infinite": lambda: lab_of_xyz((INF, 1, 1)),
    "limit 0": lambda: too_close([(50, 0, 0)], 0),
    "limit nan": lambda: confused([(50, 0, 0)], NAN),
    "kind": lambda: as_seen((50, 0, 0), "colour\nblind" * 1000),
}


@pytest.mark.parametrize("call", REFUSED.values(), ids=REFUSED.keys())
def test_refused_in_one_sentence(call):
    with pytest.raises(ValueError) as refusal:
        call()
    sentence = str(refusal.value)
    assert sentence[0].isupper() and sentence.endswith("."), sentence
    assert "\n" not in sentence and len(sentence) < 200, sentence


def test_a_band_needs_nothing_but_a_peak_and_a_width():
    assert absorptivity_l_g_cm((AbsorptionBand(500, 40, 2000, 1500),), 500) == 40
