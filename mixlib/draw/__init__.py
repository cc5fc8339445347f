"""Pictures as text: no widget, no matplotlib."""

from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.chain import addition
from mixlib.draw.charts import throw_chart
from mixlib.draw.flight.approach import landing_side_view
from mixlib.draw.linkage import linkage_side
from mixlib.draw.phases import aircraft_columns
from mixlib.draw.section import section_from_tip
from mixlib.draw.svg import picture

__all__ = [
    "addition",
    "aircraft_columns",
    "aircraft_view",
    "landing_side_view",
    "linkage_side",
    "picture",
    "section_from_tip",
    "throw_chart",
]
