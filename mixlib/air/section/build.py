"""Build the tables behind `mixlib.air.section.table`, one file for each shape and finish.

Run ``python -m mixlib.air.section.build`` with the versions below installed; the files come out the
same, bit for bit, on the same machine (on another processor a last digit can round the other way).

Where the numbers come from
---------------------------
* NeuralFoil 0.3.3 and AeroSandbox 4.2.10 (P. D. Sharpe, both MIT licence, from the Python Package Index),
  network "xxxlarge", transition exponent 9. NeuralFoil's `analysis_confidence` must exceed 0.9; nothing
  less trusted is used.
* Shapes: the four-digit ones from their formulas (NACA Report 460), Clark Y from the coordinates in
  AeroSandbox's copy of the UIUC collection.
* Finish: a smooth section has its boundary layer turn turbulent by itself; a foam one has it turbulent from a
  tenth of the chord on, both sides: its grain and seams see to that (judgement, no source). Further forward
  NeuralFoil is no longer trusted, and hardly differs.
* The flap is bent into the shape: the camber line turns by the flap angle within a short stretch about the
  hinge, the thickness stays. Results are brought back to the unflapped chord, its direction and its quarter
  chord.
* Outside: `mixlib.air.section.handbook`.

How the parts are joined
------------------------
Without flap: a straight lift line up to the stall, a plate after it.
With flap: the unflapped curve moved up by the flap's lift and to a lower stall incidence,
plus the flap's drag and moment. Wherever NeuralFoil is trusted the difference to that is taken as it is, so
the table shows NeuralFoil's own number; from the edge of that region the difference fades away within 5 deg
of incidence or flap angle.
"""

from __future__ import annotations

import io
import zipfile
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

import aerosandbox as asb
import neuralfoil as nf
import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.section import handbook
from mixlib.air.section.shapes import (
    EDGE_DEG,
    EVERY_SHAPE,
    FINISHES,
    FOLDER,
    Section,
    designation,
    file_name,
)

__all__ = ["bent_shape", "build", "main", "save", "section_by_network"]

PINNED = {"neuralfoil": "0.3.3", "aerosandbox": "4.2.10"}
NETWORK = "xxxlarge"
CONFIDENCE = 0.9
TURBULENT_FROM = {"smooth": 1.0, "foam": 0.10}  # share of the chord, at the latest
FADE_DEG = 5.0

ALPHA_DEG = np.arange(-EDGE_DEG, EDGE_DEG + 1.0)
CHORD_RATIO = np.array([0.15, 0.20, 0.25, 0.30, 0.35])
_DOWN = [2, 4, 6, 8, 10, 12.5, 15, 17.5, 20, 25, 30, 40, 50, 60]
FLAP_DEG = np.array([*(-angle for angle in reversed(_DOWN)), 0.0, *_DOWN])
REYNOLDS = np.array([50e3, 73e3, 108e3, 158e3, 232e3, 341e3, 500e3])
STEPS = np.array([2e-4, 4e-5, 2e-4, 1.0 / 200.0])
"""Size of one stored unit of cl, cd, cm, origin."""
STALL_STEP = 0.01
HOLDS_DEG = 6.0
"""A thin section's least distance from zero lift to the stall, deg (from memory)."""
STALL_SHARE = 0.55
"""Part of a flap's lift still there at the stall, as in NeuralFoil's trusted NACA 0009 at 20 and 30 deg."""


@lru_cache
def _plain_shape(name):
    """Stations along the chord, with camber and half thickness of the unbent section."""
    plain = asb.Airfoil(designation(name).lower().replace(" ", "")).repanel(n_points_per_side=150).normalize()
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 201)))
    return x, plain.local_camber(x), 0.5 * plain.local_thickness(x)


def bent_shape(name: Section, flap_deg: float, chord_ratio: float) -> np.ndarray:
    """Coordinates of a section whose flap is bent into its shape, as shares of the unbent chord.

    Returns
    -------
    numpy.ndarray
        Shape (2 n - 1, 2), from the trailing edge along the top to the leading edge and back.
    """
    x, camber, half = _plain_shape(name)
    half_width = 0.03
    along = np.clip((x - (1.0 - chord_ratio)) / half_width, -1.0, 1.0)
    turn = np.radians(flap_deg) * 0.25 * (2.0 + 3.0 * along - along**3)
    middle = 0.5 * (turn[1:] + turn[:-1])
    dx, dy = np.diff(x), np.diff(camber)
    line_x = x[0] + np.concatenate([[0.0], np.cumsum(dx * np.cos(middle) + dy * np.sin(middle))])
    line_y = camber[0] + np.concatenate([[0.0], np.cumsum(dy * np.cos(middle) - dx * np.sin(middle))])
    off_x, off_y = half * np.sin(turn), half * np.cos(turn)
    top = np.column_stack([line_x + off_x, line_y + off_y])
    bottom = np.column_stack([line_x - off_x, line_y - off_y])
    return np.concatenate([top[::-1], bottom[1:]])


def section_by_network(
    name: Section,
    alpha_deg: ArrayLike,
    flap_deg: float,
    reynolds: ArrayLike,
    chord_ratio: float,
    finish: str = "smooth",
) -> tuple[np.ndarray, ...]:
    """NeuralFoil's coefficients of the bent section on the unflapped chord.

    Returns
    -------
    tuple of numpy.ndarray
        ``(cl, cd, cm, confidence)``, each of the broadcast shape of incidence and Reynolds number.
    """
    alpha, number = np.broadcast_arrays(np.asarray(alpha_deg, dtype=float), np.asarray(reynolds, dtype=float))
    shape = asb.Airfoil(name=designation(name), coordinates=bent_shape(name, flap_deg, chord_ratio))
    norm = shape.normalize(return_dict=True)
    chord, tilt = 1.0 / norm["scale_factor"], norm["rotation_angle"]
    fitted = norm["airfoil"].to_kulfan_airfoil(n_weights_per_side=8, normalize_coordinates=False)
    raw = nf.get_aero_from_kulfan_parameters(
        fitted.kulfan_parameters,
        alpha.ravel() + tilt,
        number.ravel() * chord,
        xtr_upper=TURBULENT_FROM[finish],
        xtr_lower=TURBULENT_FROM[finish],
        model_size=NETWORK,
    )
    cl, cd = raw["CL"] * chord, raw["CD"] * chord
    # From the bent shape's quarter chord to the unflapped one's.
    quarter_x = -norm["x_translation"] + 0.25 * chord * np.cos(np.radians(tilt)) - 0.25
    quarter_y = -norm["y_translation"] - 0.25 * chord * np.sin(np.radians(tilt))
    angle = np.radians(alpha.ravel())
    back, up = cd * np.cos(angle) - cl * np.sin(angle), cl * np.cos(angle) + cd * np.sin(angle)
    cm = raw["CM"] * chord**2 - (quarter_x * up - quarter_y * back)
    return tuple(v.reshape(alpha.shape) for v in (cl, cd, cm, raw["analysis_confidence"]))


def _smooth(x):
    x = np.clip(x, 0.0, 1.0)
    return x * x * (3.0 - 2.0 * x)


def _inside(alpha):
    """1, falling to 0 at the edge of the table, where the bent plate alone goes on without a step."""
    return 1.0 - _smooth((np.abs(alpha) - EDGE_DEG + 5.0) / 5.0)


def _main_region(trusted):
    """Trusted nodes (flap, alpha) that hang together with the unflapped section at low incidence.

    The network also trusts islands far past the stall, where the way to them is not trusted. Each flap
    angle keeps the runs of incidence that meet those of the flap angle before, going out from zero. Gaps of
    up to two nodes are stepped over, not filled.
    """
    padded = np.pad(trusted, ((0, 0), (1, 1)))
    passable = padded[:, 2:] | padded[:, :-2] | trusted
    run = np.cumsum(np.diff(passable, axis=1, prepend=False), axis=1)
    zero = int(np.flatnonzero(FLAP_DEG == 0.0)[0])
    kept = np.zeros_like(trusted)
    for rows in (range(zero, len(FLAP_DEG)), range(zero, -1, -1)):
        met = (ALPHA_DEG >= 0.0) & (ALPHA_DEG <= 4.0)
        for row in rows:
            here = passable[row] & np.isin(run[row], run[row][met & passable[row]])
            kept[row] = here & trusted[row]
            met = here if here.any() else met
    return kept


def _carried_on(difference, trusted, flap_deg):
    """Differences of the trusted nodes carried FADE_DEG beyond them, and the weight of the network there.

    `difference` (flap, alpha, 3), `trusted` (flap, alpha).
    """
    flap, alpha = (g.ravel() for g in np.meshgrid(flap_deg, ALPHA_DEG, indexing="ij"))
    known = trusted.ravel()
    if not known.any():
        return np.zeros_like(difference), np.zeros(trusted.shape)
    away2 = (flap[:, None] - flap[None, known]) ** 2 + (alpha[:, None] - alpha[None, known]) ** 2
    nearest = np.sqrt(away2.min(axis=1))
    # Relative to the nearest one, so that the kernel never underflows.
    kernel = np.exp(-(away2 - nearest[:, None] ** 2) / 2.0**2)
    spread = kernel @ difference.reshape(-1, 3)[known] / kernel.sum(axis=1, keepdims=True)
    spread[known] = difference.reshape(-1, 3)[known]
    weight = 1.0 - _smooth(nearest / FADE_DEG)
    weight *= _inside(alpha)
    return (spread * weight[:, None]).reshape(difference.shape), weight.reshape(trusted.shape)


def _attached(alpha, low, high):
    """1 between the two stalls, falling to 0 within 6 deg beyond them."""
    return 1.0 - _smooth(np.maximum(alpha - high, low - alpha) / 6.0)


def _side(cl, trusted, zero_lift):
    """Incidence of the first peak of lift and of the stall proper, positive side, no flap.

    Where lift holds after its peak, the stall proper comes at the end of that; where trust ends before any
    peak, the section is taken to hold until HOLDS_DEG from zero lift.
    """
    last = np.flatnonzero(trusted)[-1]
    peak = last
    for i in range(EDGE_DEG + 2, last):
        if cl[i] > np.max(cl[i + 1 : i + 4]):
            peak = i
            break
    held = np.append(cl[peak : last + 1] >= 0.92 * cl[peak], False)
    return ALPHA_DEG[peak], max(ALPHA_DEG[peak + np.argmin(held) - 1], zero_lift + HOLDS_DEG)


def _clean(raw, trusted):
    """Unflapped curve over ALPHA_DEG from trusted nodes, its slope, range and peak."""
    straight = trusted & (np.abs(ALPHA_DEG) <= 5.0)
    slope, at_zero = np.polyfit(ALPHA_DEG[straight], raw[straight, 0], 1)
    peak, high = _side(raw[:, 0], trusted, -at_zero / slope)
    low = -_side(-raw[::-1, 0], trusted[::-1], at_zero / slope)[1]
    middle = np.mean(raw[straight], axis=0)
    plate = np.column_stack(handbook.bent_plate(ALPHA_DEG, 0.0, 0.25))
    line = np.column_stack(
        [at_zero + slope * ALPHA_DEG, np.full(ALPHA_DEG.size, middle[1]), np.full(ALPHA_DEG.size, middle[2])]
    )
    weight = (_attached(ALPHA_DEG, low, high) * _inside(ALPHA_DEG))[:, None]
    base = weight * line + (1.0 - weight) * plate
    carried, _ = _carried_on((raw - base)[None], trusted[None], np.zeros(1))
    return base + carried[0], slope, (low, high), peak


def _flapped(clean, slope, limits, peak, flap_deg, chord_ratio):
    """Handbook curve with a flap (the unflapped one moved, plus drag and moment), and where it stalls."""
    lift = float(handbook.flap_lift(flap_deg, chord_ratio))
    shift = -(1.0 - STALL_SHARE) * lift / slope
    before = ALPHA_DEG - shift
    moved = np.column_stack([np.interp(before, ALPHA_DEG, column) for column in clean.T])
    theory_cl, theory_cm = handbook.flap_theory(chord_ratio)
    added = np.array(
        [lift + slope * shift, handbook.flap_drag(flap_deg, chord_ratio), lift * theory_cm / theory_cl]
    )
    plate = np.column_stack(handbook.bent_plate(ALPHA_DEG, flap_deg, chord_ratio))
    weight = (_attached(before, *limits) * _inside(ALPHA_DEG))[:, None]
    return weight * (moved + added) + (1.0 - weight) * plate, peak + shift


def _stall(cl, expected_deg):
    """Incidence of the peak of lift within 5 deg of the expected one; that one if lift only rises."""
    window = slice(*np.searchsorted(ALPHA_DEG, [expected_deg - 5.0, expected_deg + 5.0]))
    i = window.start + int(np.argmax(cl[window]))
    if i in (window.start, window.stop - 1):
        return expected_deg
    a, b, c = cl[i - 1 : i + 2]
    return ALPHA_DEG[i] + (0.5 * (a - c) / (a - 2.0 * b + c) if a + c < 2.0 * b else 0.0)


def build(
    name: Section, finish: str, chord_ratios: ArrayLike = CHORD_RATIO, reynolds: ArrayLike = REYNOLDS
) -> dict[str, np.ndarray]:
    """The table of one shape, or the part of it for some chord ratios and Reynolds numbers.

    Returns
    -------
    dict of numpy.ndarray
        Arrays as stored: `cl`, `cd`, `cm`, `origin` as whole numbers of `steps`, shape (chord ratio, flap,
        Reynolds, incidence); `alpha_stall_deg` without the last axis; and the axes.
    """
    ratios, numbers = np.asarray(chord_ratios), np.asarray(reynolds)
    dims = (ratios.size, FLAP_DEG.size, numbers.size)
    values, stalls = np.empty((*dims, ALPHA_DEG.size, 4)), np.empty(dims)
    for e, ratio in enumerate(ratios):
        raw, sure = _network_block(name, finish, ratio, numbers)
        for r in range(numbers.size):
            values[e, :, r], stalls[e, :, r] = _joined(raw[:, r], sure[:, r] > CONFIDENCE, ratio)
    whole = np.rint(values / STEPS).astype(np.int32)
    return {
        "cl": whole[..., 0].astype(np.int16),
        "cd": whole[..., 1].astype(np.uint16),
        "cm": whole[..., 2].astype(np.int16),
        "origin": whole[..., 3].astype(np.uint8),
        "alpha_stall_deg": np.rint(stalls / STALL_STEP).astype(np.int16),
        "steps": np.append(STEPS, STALL_STEP),
        "chord_ratio": ratios,
        "flap_deg": FLAP_DEG,
        "reynolds": numbers,
    }


def _network_block(name, finish, ratio, reynolds):
    """NeuralFoil over flap, Reynolds number and incidence: values (flap, Re, alpha, 3) and confidence."""
    values, sure = [], []
    for flap in FLAP_DEG:
        *parts, confidence = section_by_network(name, ALPHA_DEG, flap, reynolds[:, None], ratio, finish)
        values.append(np.stack(parts, axis=-1))
        sure.append(confidence)
    return np.array(values), np.array(sure)


def _joined(raw, confident, ratio):
    """Over flap and incidence: cl, cd, cm, origin (flap, alpha, 4); and the stall incidence (flap,)."""
    zero = int(np.flatnonzero(FLAP_DEG == 0.0)[0])
    trusted = _main_region(confident)
    clean, slope, limits, peak = _clean(raw[zero], trusted[zero])
    flapped = [_flapped(clean, slope, limits, peak, flap, ratio) for flap in FLAP_DEG]
    base = np.array([curve for curve, _ in flapped])
    carried, weight = _carried_on(raw - base, trusted, FLAP_DEG)
    sheet = base + carried
    sheet[..., 1] = np.maximum(sheet[..., 1], 0.004)
    stalls = [_stall(one[:, 0], expected) for one, (_, expected) in zip(sheet, flapped, strict=True)]
    return np.concatenate([sheet, weight[..., None]], axis=-1), np.array(stalls)


def save(path: Path, arrays: dict[str, np.ndarray]) -> None:
    """Write a compressed npz whose bytes depend on the arrays alone: no time stamp (any unit)."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, array in arrays.items():
            buffer = io.BytesIO()
            np.lib.format.write_array(buffer, np.ascontiguousarray(array), allow_pickle=False)
            entry = zipfile.ZipInfo(f"{name}.npy", date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, buffer.getvalue())


def main() -> None:
    """Check the pinned versions, build all tables and write them where the library reads them."""
    for package, wanted in PINNED.items():
        if version(package) != wanted:
            raise SystemExit(f"{package} is {version(package)}; the tables are built with {wanted}")
    FOLDER.mkdir(exist_ok=True)
    for shape in EVERY_SHAPE:
        for finish in FINISHES:
            save(FOLDER / file_name(shape, finish), build(shape, finish))


if __name__ == "__main__":
    main()
