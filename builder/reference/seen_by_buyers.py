"""Which fields a buyer may come to see, themselves or what is worked out from them. All others stay in the workshop."""

from __future__ import annotations

from collections.abc import Mapping

#: Files of which nothing is ever seen.
_PRIVATE_FILES = {"private", "shop-private", "pattern", "repair"}

#: Shape ─► its fields that stay in the workshop, in files that are seen.
_KEPT: Mapping[str, str] = {
    "Record": "format visibility started_from",
    "Dates": "promised",
    "Spec": "wished_tension label",
    "SetupSpec": "break_angles",
    "BridgeSpec": "pins_behind_saddle",
    "WoodSpec": "rough joined_from pieces",
    "LiningsSpec": "kerf kerf_depth strip",
    "BraceSpec": "end_height taper",
    "GlueUp": "wood_moisture clamps_off",
    "FretHeights": "above",
    "PhotoWords": "draft",
    "RecordingWords": "draft",
    "Shop": "format clamps room_limits allowances angle_blocks label",
    "FinishSchedule": "between_coats cured least_temperature most_humidity",
    "Glue": "open_time clamps_off bears_load cured least_temperature most_humidity wood_moisture pressure words",
    "Levelling": "least_crown",
    "WoodRack": "format",
    "Billet": "size pieces papers words private",
}
#: Groups below a field that stays in the workshop.
_KEPT_WHOLE = frozenset(
    {"LabelSize", "BilletSize", "BilletPrivate", "Clamps", "RoomLimits", "BlankAllowances", "Label"}
)


def may_be_seen(file: str, shape: str, field: str) -> bool:
    """Whether a buyer may come to see a field of a file."""
    return file not in _PRIVATE_FILES and shape not in _KEPT_WHOLE and field not in _KEPT.get(shape, "").split()
