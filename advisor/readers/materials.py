"""Readers of the project's tables of materials and cutting classes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, get_args

from advisor.files.checking import as_list, checked, problem_at, raise_if_any
from advisor.files.problems import Fault, Problem, listed, nearest_word, shown
from advisor.files.yaml_reader import Document, read_yaml
from advisor.model.material import CuttingClass, Group, GroupTraits, Material
from advisor.readers.material_words import Words, read_words


def read_materials(materials: Path, classes: Path, words_file: Path) -> Materials:
    """Return the materials, cutting classes and words about materials of the three tables. Raises BadInput."""
    words = read_words(words_file)
    problems: list[Problem] = []
    data = read_yaml(classes)
    known, groups = _read_classes(data, problems), _read_groups(data, problems)
    document = read_yaml(materials)
    rows: list[Material] = []
    by_name: dict[str, Material] = {}
    for index, entry in enumerate(as_list(document, ("materials",), "a list of materials", problems)):
        path = ("materials", index)
        material = checked(Material, document, path, _completed(entry, words), problems)
        if material is None:
            continue
        rows.append(material)
        _check_class(document, path, material, known, problems)
        for name in dict.fromkeys(words.folded(name) for name in (material.name, *material.aliases)):
            if name in by_name:
                wanted = f"a name or alias of its own ({by_name[name].name} has {shown(name)} already)"
                problems.append(problem_at(document, path, Fault(wanted, shown(material.name))))
            by_name[name] = material
    raise_if_any(problems)
    return Materials(tuple(rows), known, groups, by_name, words)


def _read_classes(document: Document, problems: list[Problem]) -> dict[str, CuttingClass]:
    entries = document.value.get("classes") if isinstance(document.value, dict) else None
    if not isinstance(entries, dict):
        problems.append(problem_at(document, ("classes",), Fault("cutting classes by their keys")))
        return {}
    known = {}
    for key, entry in entries.items():
        value = {"key": key, **entry} if isinstance(entry, dict) else entry
        found = checked(CuttingClass, document, ("classes", key), value, problems)
        if found is not None:
            known[key] = found
    return known


def _read_groups(document: Document, problems: list[Problem]) -> dict[Group, GroupTraits]:
    entries = document.value.get("groups") if isinstance(document.value, dict) else None
    if not isinstance(entries, dict) or set(entries) != set(get_args(Group)):
        wanted = f"what depends on the group alone, of each of {listed(get_args(Group))}"
        problems.append(problem_at(document, ("groups",), Fault(wanted)))
        return {}
    rows = {
        group: checked(GroupTraits, document, ("groups", group), entry, problems) for group, entry in entries.items()
    }
    return {group: found for group, found in rows.items() if found is not None}


def _check_class(
    document: Document,
    path: tuple[str, int],
    material: Material,
    known: dict[str, CuttingClass],
    problems: list[Problem],
) -> None:
    found = known.get(material.cutting_class)
    if found is None:
        near = nearest_word(material.cutting_class, known)
        problems.append(
            problem_at(document, (*path, "cutting_class"), Fault("a class of cutting_data.yaml", None, None, near))
        )
    elif found.group != material.group:
        wanted = f"{found.group}, the group of its cutting class {found.key}"
        problems.append(problem_at(document, (*path, "group"), Fault(wanted)))


def _completed(entry: Any, words: Words) -> Any:
    """An entry with its source in words and its hardness in HB, as far as they can be read."""
    if not isinstance(entry, dict) or not isinstance(entry.get("source"), dict):
        return entry
    softest, hardest = words.span(str(entry.get("hardness", "0 HB")))
    return entry | {"source": source_text(entry["source"]), "softest": softest, "hardest": hardest}


def source_text(source: dict[str, Any]) -> str:
    """Return a source in words: the key of a work in `sources.yaml`, with "from memory" where it is so."""
    if "work" not in source:
        return "common practice, no source"
    parts = [str(source["work"]), *(str(source[key]) for key in ("page", "section") if key in source)]
    return ", ".join([*parts, "from memory"] if source.get("from_memory") else parts)


@dataclass(frozen=True, slots=True)
class Materials:
    """The materials and cutting classes of the tables."""

    all: tuple[Material, ...]
    classes: Mapping[str, CuttingClass]
    groups: Mapping[Group, GroupTraits]
    _by_name: Mapping[str, Material] = field(repr=False)
    words: Words = field(default_factory=Words, repr=False)

    def find(self, name_or_alias: str) -> Material | None:
        """Return the material of a name or alias, whatever the letter case, spaces and dots, or None."""
        return self._by_name.get(self.words.folded(name_or_alias))

    @property
    def edges_alone(self) -> Mapping[str, Group]:
        """The facts that tell of a cutter that it is ground for one group alone, each with the group."""
        return {found.edge_alone: group for group, found in self.groups.items() if found.edge_alone is not None}

    def cutting_class(self, key: str) -> CuttingClass:
        """Return the cutting class of a key. Raises KeyError if there is none."""
        return self.classes[key]

    def __iter__(self) -> Iterator[Material]:
        return iter(self.all)

    def __len__(self) -> int:
        return len(self.all)

    def __getitem__(self, name_or_alias: str) -> Material:
        found = self.find(name_or_alias)
        if found is None:
            raise KeyError(name_or_alias)
        return found


@cache
def load_materials() -> Materials:
    """Return the materials of the project's tables, read once in a process. Raises BadInput if a table is broken."""
    from advisor.files.cache import kept
    from advisor.paths import shared_dir

    files = shared_dir() / "materials.yaml", shared_dir() / "cutting_data.yaml", shared_dir() / "material_words.yaml"
    return kept(Materials, files, lambda: read_materials(*files))
