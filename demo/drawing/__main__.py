"""Draws the demo's photos into demo/pictures/: `python -m demo.drawing [NAME …]`, else all anew.

A photo is called CAR-SUBJECT, as `picture: SUBJECT` in demo/CAR.yaml names it. The same version of
Pillow gives the same bytes. Draw only what must change: a photo's hash is in the demo's record.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from demo.drawing import body, engine, fluids, instruments, structure, underneath
from demo.drawing.order import Order
from demo.drawing.surface import Color

FOLDER = Path(__file__).resolve().parents[1] / "pictures"

SUBJECTS: dict[str, Callable[[Order], bytes]] = {
    "acorns": engine.acorns,
    "airbag-lamp": instruments.airbag_lamp,
    "arch-blister": body.arch_blister,
    "arm-mount": structure.arm_mount,
    "atf-towel": fluids.atf_towel,
    "belt-ribs": engine.belt_ribs,
    "brake-line": underneath.brake_line,
    "carb-stain": fluids.carb_stain,
    "cargo-hole": structure.cargo_hole,
    "cert-label": instruments.cert_label,
    "compression-gauge": instruments.compression_gauge,
    "cv-boot": underneath.cv_boot,
    "engine-mount": engine.engine_mount,
    "floor-probe": structure.floor_probe,
    "frame-plate": structure.frame_plate,
    "fuel-jar": fluids.fuel_jar,
    "headlight-haze": body.headlight_haze,
    "hood-mat": engine.hood_mat,
    "invoices": instruments.invoices,
    "muffler-split": underneath.muffler_split,
    "odometer": instruments.odometer,
    "paint-gauge": instruments.paint_gauge,
    "pinch-weld": structure.pinch_weld,
    "pump-trail": fluids.pump_trail,
    "reservoir-low": fluids.reservoir_low,
    "rotor-caliper": underneath.rotor_caliper,
    "shackle": underneath.shackle,
    "shoe-rule": underneath.shoe_rule,
    "spare-well": structure.spare_well,
    "spring-broken": underneath.spring_broken,
    "strut-leak": underneath.strut_leak,
    "tailgate-gap": body.tailgate_gap,
    "tire-code": underneath.tire_code,
    "tire-cord": underneath.tire_cord,
    "title": instruments.title,
    "top-window": body.top_window,
    "trailer-splice": engine.trailer_splice,
    "tread-gauge": underneath.tread_gauge,
    "vacuum-gauge": instruments.vacuum_gauge,
    "wagon-found": body.wagon_found,
    "windshield-crack": body.windshield_crack,
}

PAINT: dict[str, Color] = {
    "adze": (132, 44, 38),
    "killdeer": (44, 74, 54),
    "phalarope": (222, 196, 112),
}

#: What a dial, a display or a stamped plate reads.
SHOWN = {
    "killdeer-cert-label": "ZZZKD33W8PT104417",
    "killdeer-compression-gauge": "131",
    "killdeer-odometer": "148210",
    "killdeer-paint-gauge": "31.8",
    "killdeer-rotor-caliper": "0.858",
    "killdeer-tire-code": "2417",
    "killdeer-vacuum-gauge": "17.5",
    "phalarope-paint-gauge": "9.4",
}


def draw(photo: str) -> bytes:
    """The JPEG of one photo: 800 x 600 pixels, at most 40 kB."""
    car, _, subject = photo.partition("-")
    return SUBJECTS[subject](Order(photo, PAINT[car], SHOWN.get(photo, "")))


def main() -> None:
    for photo in sys.argv[1:] or [file.stem for file in FOLDER.glob("*.jpg")]:
        (FOLDER / f"{photo}.jpg").write_bytes(draw(photo))


if __name__ == "__main__":
    main()
