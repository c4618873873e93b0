"""The page's own table of shapes, against the daemon's JSON Schema of the frames."""

from typing import Any

import pytest

from chanterd.serving.wire.frames import frames_schema
from tests.browser.conftest import Inside

SCHEMA = frames_schema()
PLAIN = {"string": "text", "number": "number", "integer": "number", "boolean": "flag"}


def word(told: dict[str, Any]) -> str:
    """The page's word for a type of the schema."""
    if "anyOf" in told:
        return "|".join(sorted((word(one) for one in told["anyOf"]), key=lambda one: one == "null"))
    if "$ref" in told:
        return str(told["$ref"].rsplit("/", 1)[-1]).replace("FaultResult", "Fault")
    if told.get("type") == "array":
        return (word(told["prefixItems"][0]) if "prefixItems" in told else word(told["items"])) + "[]"
    return "null" if told.get("type") == "null" else PLAIN[told.get("type", "string")]


def fields(definition: dict[str, Any]) -> dict[str, str]:
    """The page's row for an object of the schema, without the kind, which names the row."""
    needed = definition["required"]
    told = {f"{name}{'' if name in needed else '?'}": word(one) for name, one in definition["properties"].items()}
    return {name: of for name, of in told.items() if name != "kind" or "const" not in definition["properties"]["kind"]}


DEFINITIONS = {name.replace("FaultResult", "Fault"): one for name, one in SCHEMA["$defs"].items()}


@pytest.mark.parametrize("name", sorted(name for name in DEFINITIONS if not name.endswith("Frame")))
def test_parts_are_known_as_the_daemon_tells_them(inside: Inside, name: str) -> None:
    """Every part of a frame has the same fields, of the same types, on both sides."""
    assert inside("core/frames.js", "(m) => m.SHAPES")[name] == fields(DEFINITIONS[name])


@pytest.mark.parametrize("name", sorted(name for name in DEFINITIONS if name.endswith("Frame")))
def test_frames_are_known_as_the_daemon_tells_them(inside: Inside, name: str) -> None:
    """Every kind of frame has the same fields, of the same types, on both sides."""
    definition = DEFINITIONS[name]
    kind = definition["properties"]["kind"]["const"]
    assert inside("core/frames.js", "(m) => m.FRAMES")[kind] == fields(definition)


def test_the_page_knows_no_other_kind(inside: Inside) -> None:
    """No kind is left over in the page's table that the daemon no longer sends."""
    kinds = {one["properties"]["kind"]["const"] for name, one in DEFINITIONS.items() if name.endswith("Frame")}
    assert set(inside("core/frames.js", "(m) => m.FRAMES")) == kinds
