"""JSON Schemas (draft 2020-12) of what other programs rely on in ``tune --json`` and ``assess --tune --json``.

Every field of the contract is required and has its type; more fields may be there.
"""

from typing import Any

from jsonschema import Draft202012Validator

NOTE = {"enum": ["low G", "low A", "B", "C", "D", "E", "F", "high G", "high A"]}
FRACTION = {"type": "string", "pattern": "^[0-9]+(/[1-9][0-9]*)?$"}
INDEX = {"type": "integer", "minimum": 0}
WORDS = {"type": "string", "minLength": 1}
MS = {"type": ["number", "null"]}
STATES = {"enum": ["played", "missing", "wrong note", "merged"]}


def _object(**fields: Any) -> dict[str, Any]:
    """An object that has all these."""
    return {"type": "object", "properties": fields, "required": list(fields)}


def _list(of: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": of}


def _or_null(of: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [of, {"type": "null"}]}


TUNE = _object(
    title={"type": "string"},
    bars=INDEX,
    notes=_list(
        _object(
            note=NOTE,
            start=FRACTION,
            lasts=FRACTION,
            bar=INDEX,
            gracenotes=_list(NOTE),
            ornament=_or_null(WORDS),
            drill=_or_null({"type": "string", "pattern": f"^.+ from ({'|'.join(NOTE['enum'])})( to .+)?$"}),
        )
    ),
    unknown=_list(_object(note=INDEX, gracenotes={**_list(NOTE), "minItems": 1}, said=WORDS)),
)
STEP = _object(
    step=INDEX,
    note=NOTE,
    kind={"enum": ["quick", "held", "theme"]},
    state=STATES,
    expected_ms={"type": "number"},
    onset_ms=MS,
    deviation_ms=MS,
    length_ms=MS,
)
ASSESSED = _object(
    tune={"type": "string"},
    notes=_list(
        {
            **_object(
                note=INDEX,
                **{"pass": {"type": "integer", "minimum": 1}},
                state=STATES,
                onset_ms=MS,
                deviation_ms=MS,
                length_ms=MS,
                ornament=_or_null(
                    _object(
                        drill=_or_null(WORDS),
                        gracenotes={**_list(NOTE), "minItems": 1},
                        clean={"type": "boolean"},
                        faults=_list(_object(fault=WORDS, said=WORDS)),
                        steps={**_list(STEP), "minItems": 2},
                    )
                ),
            ),
            "if": {"properties": {"state": {"enum": ["missing", "merged"]}}},
            "then": {"properties": {"onset_ms": {"type": "null"}}},
            "else": {"properties": {"onset_ms": {"type": "number"}}},
        }
    ),
    summary={"type": "object"},
)


def valid(found: object, schema: dict[str, Any]) -> None:
    """Fails with the first places at which it is not as the schema says."""
    Draft202012Validator.check_schema(schema)
    errors = [f"{error.json_path}: {error.message[:200]}" for error in Draft202012Validator(schema).iter_errors(found)]
    assert errors[:3] == []
