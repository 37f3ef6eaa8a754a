"""``roughing materials WORD``: the materials of the table, with their names, groups and states."""

from typing import Annotated

import typer

from advisor.cli.guard import guarded
from advisor.cli.output import Format, show, show_json

EXAMPLE = "Example: roughing materials 4140"


@guarded
def command(
    word: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[WORD]", help="A name, number, group or kind; without one, all are listed.", show_default=False
        ),
    ] = None,
    form: Annotated[Format, typer.Option("--format", help="Output format.")] = Format.text,
) -> int:
    """List the materials of the table, or those with a word in their name, numbers, group or kind.

    Exit code 2 if a word fits none; the message says what else it may be.
    """
    from advisor.files.problems import BadInput, Problem, shown
    from advisor.readers.material_meant import meant
    from advisor.readers.materials import load_materials
    from advisor.render.material_record import material_record
    from advisor.text.materials import listing, material_blocks

    text = " ".join(word or [])
    materials = load_materials()
    found = listing(text, materials)
    if not found:
        fault = meant(text, materials).fault
        wanted = fault.wanted if fault else "a word in the name, numbers, group or kind of a material"
        raise BadInput([Problem("materials", None, "WORD", shown(text), wanted, fault.nearest if fault else None)])
    if form is Format.json:
        show_json([material_record(material, materials) for material in found])
    else:
        show(material_blocks(found, materials), form)
    return 0
