"""Packs: reading knowledge from files, with every mistake found in one pass.

Public names: `load_pack`, `check_pack`, `read_pack`, `builtin_pack`, `find_packs`, `Pack`.
"""

from powergood.packs.locate import Found, builtin_pack, find_packs
from powergood.packs.pack import Pack
from powergood.packs.read import check_pack, load_pack, read_pack

__all__ = ["Found", "Pack", "builtin_pack", "check_pack", "find_packs", "load_pack", "read_pack"]
