"""The materials of the table as a reader sees them: by class, with other names, hardness and states."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.model.material import Material
from advisor.readers.material_meant import meant
from advisor.readers.material_words import squeezed
from advisor.readers.materials import Materials
from advisor.text.blocks import Block, Heading, Items, Para
from advisor.text.blocks import Item as Entry


def listing(text: str, materials: Materials) -> tuple[Material, ...]:
    """The materials with a text in their name, numbers, group or kind, and the one that it means; all for no text."""
    if not text.strip():
        return materials.all
    sought, named = squeezed(text), meant(text, materials).material
    group = sought.upper() if sought.upper() in {one.group for one in materials} else None
    if group:
        return tuple(one for one in materials if one.group == group)
    family = {one for one in materials if named is not None and one.family == named.family}
    return tuple(one for one in materials if one in family or one is named or _has(one, sought, materials))


def _has(material: Material, sought: str, materials: Materials) -> bool:
    title = materials.cutting_class(material.cutting_class).title
    return any(sought in squeezed(name) for name in (material.name, *material.aliases, title, material.cutting_class))


def material_blocks(found: Sequence[Material], materials: Materials) -> Iterator[Block]:
    """The blocks of some materials: under each class its materials, with hardness, states and other names."""
    yield Heading("Materials", 1, f"{len(found)} of {len(materials)}")
    yield Para(
        "A job names any of these names. A state or a hardness may follow the name, or stand in the fields `state` and "
        "`hardness`: 42CrMo4 QT (quenched and tempered), 1.2379 58 HRC, H13 annealed."
    )
    for key in dict.fromkeys(one.cutting_class for one in found):
        own = [one for one in found if one.cutting_class == key]
        data = materials.cutting_class(key)
        yield Heading(f"{data.title}: group {data.group}", 2)
        yield Items(tuple(Entry(_told(one), strong=f"{one.name}:") for one in own))


def _told(material: Material) -> str:
    states = f"; {', '.join(material.states)}" if material.states else ""
    names = f". Also {', '.join(material.aliases)}" if material.aliases else ""
    return f"{material.hardness}{states}{names}."
