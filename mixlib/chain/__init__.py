"""From the pilot's commands to the trailing edge: shaping, mixing, servo, linkage, and the Rig."""

from mixlib.chain.controls import commands
from mixlib.chain.linkage import LinkageError
from mixlib.chain.mixing import MixLoopError
from mixlib.chain.rig import STAGES, Rig, Stages

__all__ = ["STAGES", "LinkageError", "MixLoopError", "Rig", "Stages", "commands"]
