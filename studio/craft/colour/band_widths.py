"""How wide a dye's absorption band is: measured where it was, estimated by the kind of dye where it was not.

A published maximum says where a dye takes most light and how much, never how wide. The widths below are of
dye in solution; on fibre a band is wider.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from studio.craft.limits import within

PHOTOCHEMCAD = (
    "half-height wavelengths computed from PhotochemCAD absorption files "
    "(Taniguchi, Lindsey et al., North Carolina State University)"
)


@dataclass(frozen=True)
class BandWidth:
    """Half the width of a band at half its height, on both sides, in wavenumbers.

    `short_side_cm1`, `long_side_cm1`: 1/cm, above 0. `origin`: `published` or `estimate`.

    **Source:** in `source`.
    """

    short_side_cm1: float
    long_side_cm1: float
    origin: Literal["published", "estimate"]
    source: str


# C.I. generic name, C.I. constitution number, peak and the two wavelengths at half height, nm.
# None: the file begins before the half height is reached. Acid Red 1 has twin peaks, 505 and 530.
_MEASURED: tuple[tuple[str, str, float, float | None, float], ...] = (
    ("acid yellow 3", "47005", 413, None, 441),
    ("acid orange 52", "13025", 466, 393, 510),
    ("acid orange 10", "16230", 478, 438, 516),
    ("acid orange 7", "15510", 486, 434, 525),
    ("acid red 88", "15620", 503, 455, 557),
    ("acid red 1", "18050", 505, 467, 553),
    ("acid red 14", "14720", 512, 450, 563),
    ("acid red 112", "27195", 513, 471, 557),
    ("acid red 87", "45380", 524.75, 509.5, 537.5),
    ("acid red 91", "45400", 527, 505, 544),
    ("acid red 51", "45430", 535, 517, 550),
    ("acid red 92", "45410", 550, 536, 562),
    ("acid red 52", "45100", 553, 532, 567),
    ("acid violet 3", "", 555, 491, 610),
    ("acid blue 92", "13390", 563, 509, 625),
    ("acid blue 93", "42780", 590, 534, 653),
    ("acid black 1", "20470", 619, 547, 652),
)

# First and last constitution number, kind of dye, half widths (short side, long side) in 1/cm, where from.
_KINDS: tuple[tuple[int, int, str, float, float, str], ...] = (
    (11000, 36999, "azo", 2100, 1700, "middle of the ten azo dyes measured, rounded"),
    (
        42000,
        44999,
        "triarylmethane",
        950,
        550,
        "from memory of food blue in water, about 60 nm with a shoulder near 590",
    ),
    (45000, 45999, "xanthene", 650, 450, "middle of the five xanthene dyes measured, rounded"),
    (47000, 47999, "quinoline", 1550, 1550, "twice the one half measured, acid yellow 3"),
    (58000, 72999, "anthraquinone", 2100, 1700, "from memory, as wide as an azo dye"),
    (73000, 73999, "indigoid", 1500, 1100, "from memory of indigo carmine in water, about 95 nm"),
)
_UNKNOWN = ("unknown", 2100.0, 1700.0, "taken as an azo dye, the commonest kind")


def kind_of_dye(ci_number: str | None) -> str:
    """The chemical kind of a dye from its Colour Index constitution number.

    `ci_number`: five digits, or None.
    Returns `azo`, `triarylmethane`, `xanthene`, `quinoline`, `anthraquinone`, `indigoid` or `unknown`.

    >>> kind_of_dye("42090"), kind_of_dye(None)
    ('triarylmethane', 'unknown')

    **Source:** Colour Index, division of the constitution numbers (from memory).
    """
    return _kind(ci_number)[0]


def band_width(ci: str = "", ci_number: str | None = None) -> BandWidth:
    """The width of a dye's main band.

    `ci`: C.I. generic name, with or without `C.I.`, any case. `ci_number`: constitution number; either may lack.
    Returns the measured width where there is one (by name or by number: a food colour and an acid dye of
    one number are one substance), else an estimate by the kind of dye.

    >>> width = band_width("C.I. Acid Orange 7")
    >>> round(width.short_side_cm1), round(width.long_side_cm1), width.origin
    (2465, 1529, 'published')
    >>> band_width(ci_number="19140").origin
    'estimate'

    **Source:** PhotochemCAD half-height wavelengths, in buffered water or ethanol; the rest `estimate`.
    Breaks on fibre, where dyes crowd together and bands widen and shift.
    """
    name = " ".join(ci.lower().replace("c.i.", " ").split())
    for measured, number, peak_nm, short_nm, long_nm in _MEASURED:
        if name == measured or (ci_number and ci_number == number):
            return from_half_heights(peak_nm, short_nm, long_nm, PHOTOCHEMCAD)
    kind, short_cm1, long_cm1, reason = _kind(ci_number)
    return BandWidth(short_cm1, long_cm1, "estimate", f"width of {kind} dyes: {reason}")


def from_half_heights(peak_nm: float, short_nm: float | None, long_nm: float, source: str) -> BandWidth:
    """A width from the two wavelengths at which a curve is half as high as at its peak.

    `short_nm` < `peak_nm` < `long_nm`, all 200 to 1100 nm; `short_nm` may be None: then the long side is
    mirrored, and the width is an estimate.
    Refused (ValueError): another order.

    >>> from_half_heights(500, 450, 560, "a curve").long_side_cm1
    2142.857

    **Source:** definition; wavenumber in 1/cm = 10 000 000 / wavelength in nm.
    """
    within("wavelength of the peak", peak_nm, 200, 1100, "nm")
    within("longer half-height wavelength", long_nm, peak_nm + 1, 1100, "nm")
    long_side = 1e7 / peak_nm - 1e7 / long_nm
    if short_nm is None:
        return BandWidth(long_side, long_side, "estimate", f"{source}; the short side mirrored")
    within("shorter half-height wavelength", short_nm, 200, peak_nm - 1, "nm")
    return BandWidth(1e7 / short_nm - 1e7 / peak_nm, long_side, "published", source)


def _kind(ci_number: str | None) -> tuple[str, float, float, str]:
    if ci_number and ci_number.isascii() and ci_number.isdigit():
        for first, last, kind, short_cm1, long_cm1, reason in _KINDS:
            if first <= int(ci_number[:9]) <= last:
                return kind, short_cm1, long_cm1, reason
    return _UNKNOWN
