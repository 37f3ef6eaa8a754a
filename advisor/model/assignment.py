"""All that advice rests on: job, material, machine and crib."""

from pathlib import Path

from advisor.model.cutter import Cutter
from advisor.model.fields import Frozen
from advisor.model.job import Job
from advisor.model.machine import Machine
from advisor.model.material import Material


class Assignment(Frozen):
    """All that advice rests on. `notes` tell what was assumed or passed over; `house` is the folder of own rules.

    `files` are those that were read: job, shop and crib.
    """

    job: Job
    material: Material
    machine: Machine
    crib: tuple[Cutter, ...]
    notes: tuple[str, ...] = ()
    demo_shop: bool = False
    house: Path | None = None
    files: tuple[Path, ...] = ()
