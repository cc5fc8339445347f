"""What every description shares: frozen, strict, with a range and a unit beside each number."""

from __future__ import annotations

import re
from typing import Annotated, Any, Self

from pydantic import BaseModel, ConfigDict, Field, Strict, ValidationError
from pydantic_core import PydanticCustomError

from mixlib.describe.errors import DescriptionError, explain

__all__ = ["Count", "Described", "Number", "measure", "refuse", "whole"]

Number = Annotated[float, Strict()]
"""A number inside a list or table; neither true or false nor a number in quotes."""

Count = Annotated[int, Strict()]
"""A whole number inside a list or table; neither true or false nor a number in quotes."""


class Described(BaseModel):
    """A frozen description; unknown keys, infinities and numbers out of range are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    def replace(self, **changes: Any) -> Self:
        """Return a copy with some fields changed, checked like a new one.

        Raises
        ------
        DescriptionError
            If a new value is out of its range or the parts no longer fit together.
        """
        kind, values = type(self), {**dict(self), **changes}
        try:
            return kind.model_validate(values)
        except ValidationError as error:
            words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", kind.__name__).lower().replace("setup", "set-up")
            raise DescriptionError(f"the {words}", explain(error, kind, values)) from None


def measure(low: float, high: float, unit: str, meaning: str, default: Any = ...) -> Any:
    """Declare a number field with its closed range, its unit and its meaning; true or false is no number.

    Parameters
    ----------
    low, high : float
        Accepted range, both ends included, in `unit`.
    unit : str
        Unit as a reader writes it: ``"mm"``, ``"deg"``, ``"%"``, ``"us"``, ``"kg"``, or ``""`` for a count.
    meaning : str
        What the number is, in a flyer's words; shown in forms and errors.
    default : optional
        The field must be given when this is left out.
    """
    return Field(default, ge=low, le=high, description=meaning, json_schema_extra={"unit": unit}, strict=True)


def whole(low: int, high: int, meaning: str, default: Any = ...) -> Any:
    """Declare a whole-number field: a `measure` without a unit, without bool or fraction."""
    return measure(low, high, "", meaning, default)


def refuse(field: str, value: Any, accepted: str) -> PydanticCustomError:
    """Make the error of a rule between fields, so that it reads like the error of one field.

    Parameters
    ----------
    field : str
        Path of the field at fault inside the description that checks it, such as ``"outputs.2.control"``.
    accepted : str
        What is accepted instead, in a flyer's words.
    """
    return PydanticCustomError("rule", "{accepted}", {"field": field, "value": value, "accepted": accepted})
