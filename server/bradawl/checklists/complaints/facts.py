"""What each computation makes of readings: the names that a table may ask about.

As the judge's README lists them; `tests/checklists/content/test_complaints.py` holds it to the
sources.
"""

from __future__ import annotations

FACTS: dict[str, tuple[str, ...]] = {
    "battery": ("charge", "rise", "days_to_half"),
    "brake_fluid": ("above_wet", "below_dry"),
    "brake_force": ("imbalance", "steered_imbalance"),
    "compression": ("lowest", "highest", "mean", "low_share", "off_mean", "wet_rise", "seat",
                    "neighbours"),
    "coolant": ("freezes", "boils"),
    "coolant_sensor": ("expected", "off", "believed", "circuit"),
    "disc": ("above_minimum",),
    "drum": ("below_maximum",),
    "firing_order": ("firing", "wires_beside", "misses"),
    "fuel_pressure": ("expected_idle", "idle_off", "implied_vacuum", "reference", "set_low",
                      "set_high", "set_short", "set_over", "set_pressure", "loss", "hold", "leak"),
    "interval": ("years_since", "km_since", "years_over", "distance_over"),
    "lining": ("life", "axle_gap"),
    "oil_pressure": ("expected", "short", "oil_share"),
    "pedal": ("pedal_travel", "pedal_reserve"),
    "polarity": ("polarity",),
    "steering_play": ("allowed", "play_over", "play_angle", "play_share"),
    "tire_pressure": ("pressure_share", "pressure_gap"),
    "toe": ("toe_off", "toe_share"),
    "tread": ("depth", "pattern", "axle_gap"),
    "tyre_age": ("age", "spare_age", "age_gap"),
    "vacuum": ("expected_low", "expected_high", "vacuum_below"),
}  # fmt: skip
