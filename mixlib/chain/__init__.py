"""From the pilot's commands to the trailing edge: shaping, mixing, servo, linkage, and the Rig."""

from mixlib.chain.controls import commands, shaped_command
from mixlib.chain.linkage import LinkageError, arm_range_deg, surface_angle_deg
from mixlib.chain.mixing import MixLoopError, demand_shares, gain_tables
from mixlib.chain.rig import STAGES, Rig, Stages

__all__ = [
    "STAGES",
    "LinkageError",
    "MixLoopError",
    "Rig",
    "Stages",
    "arm_range_deg",
    "commands",
    "demand_shares",
    "gain_tables",
    "shaped_command",
    "surface_angle_deg",
]
