"""JSON Schemas (draft 2020-12) of the files as people write them: lengths are numbers, or text with a unit."""

from copy import deepcopy
from typing import Any

from advisor.knowledge.trade_words import head_spellings, spellings, spelt_like, trade_words
from advisor.model.cutter import CutterRow
from advisor.model.features import FEATURE_KINDS
from advisor.model.fields import DRAFT, LENGTH_SCHEMA, Frozen
from advisor.model.job import JobFile
from advisor.model.operations import PlanFile
from advisor.readers.shop import ShopFile


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema of a job file."""
    schema = schema_of(JobFile, "Job file")
    for kind in schema["$defs"].values():
        if "const" in (own := kind.get("properties", {}).get("kind", {})):
            spelt = {"type": "string", "pattern": spellings("kinds", (own["const"],))}
            kind["properties"]["kind"] = {"anyOf": [{"const": own["const"]}, spelt]}
    _add_what_words_say(schema)
    return schema


def _add_what_words_say(schema: dict[str, Any]) -> None:
    """Add a definition for each word of a kind that says some of its fields: these need not be given then."""
    items, kinds = schema["properties"]["features"]["items"], schema["$defs"]
    items.pop("discriminator", None)
    items["anyOf"] = items.pop("oneOf")
    for said in {one.word: one for one in trade_words().written_as.values()}.values():
        own = deepcopy(kinds[FEATURE_KINDS[said.kind].__name__])
        own["properties"]["kind"] = {"type": "string", "pattern": spelt_like(said.words)}
        own["required"] = [name for name in own["required"] if name not in {**said.fixed, **said.usual}]
        for name, value in said.fixed.items():
            own["properties"][name] = {"const": value}
        own["description"] = f"A {said.word}."
        kinds[said.word.capitalize()] = own
        items["anyOf"].append({"$ref": f"#/$defs/{said.word.capitalize()}"})


def shop_schema() -> dict[str, Any]:
    """Return the JSON Schema of a shop file."""
    return schema_of(ShopFile, "Shop file")


def crib_schema() -> dict[str, Any]:
    """Return the JSON Schema of a crib: a list of rows, each a mapping of the heads to the cells that are filled."""
    row = schema_of(CutterRow, "Cutter")
    draft, definitions = row.pop("$schema"), row.pop("$defs")
    return {"$schema": draft, "title": "Crib", "type": "array", "minItems": 1, "items": row, "$defs": definitions}


def plan_schema() -> dict[str, Any]:
    """Return the JSON Schema of a plan file. Fields that may be left out go by other words of the trade too."""
    schema = schema_of(PlanFile, "Plan")
    row = schema["$defs"]["OperationRow"]
    row["patternProperties"] = {
        head_spellings("plan", (name,)): {"$ref": f"#/$defs/OperationRow/properties/{name}"}
        for name in row["properties"]
        if name not in row["required"]
    }
    return schema


def schema_of(model: type[Frozen], title: str) -> dict[str, Any]:
    """Return the JSON Schema of a file that holds such a model."""
    schema = _tidy(model.model_json_schema(mode="validation"))
    definitions = {"Length": deepcopy(LENGTH_SCHEMA), **schema.pop("$defs", {})}
    return {"$schema": DRAFT, "title": title, **schema, "$defs": definitions}


def _tidy(node: Any, is_schema: bool = True) -> Any:
    """Return a schema without the titles that only repeat names, lengths as references, and `kind` required."""
    if isinstance(node, list):
        return [_tidy(inner) for inner in node]
    if not isinstance(node, dict):
        return node
    if is_schema and node.get("anyOf") == LENGTH_SCHEMA["anyOf"]:
        own = node.get("description")
        described = {} if own is None or own == LENGTH_SCHEMA["description"] else {"description": own}
        return {"$ref": "#/$defs/Length", **described}
    tidy = {
        key: _tidy(inner, is_schema=key not in ("properties", "$defs") or not is_schema)
        for key, inner in node.items()
        if not (is_schema and (key == "title" or (key == "default" and inner is None)))
    }
    if is_schema and "const" in node.get("properties", {}).get("kind", {}):
        tidy["required"] = ["kind", *node["required"]]
        del tidy["properties"]["kind"]["default"]
    return tidy
