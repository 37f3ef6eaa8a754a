"""Materials of the table as JSON."""

from __future__ import annotations

from typing import Any

from advisor.model.material import Material
from advisor.readers.materials import Materials


def material_record(material: Material, materials: Materials) -> dict[str, Any]:
    """A material with its names and states."""
    return {
        "name": material.name,
        "aliases": list(material.aliases),
        "group": material.group,
        "class": material.cutting_class,
        "title": materials.cutting_class(material.cutting_class).title,
        "hardness": material.hardness,
        "states": list(material.states),
    }
