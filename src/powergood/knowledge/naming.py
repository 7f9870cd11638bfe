"""The names that a machine knows, of each kind, and the sentence about one that belongs to nothing."""

from __future__ import annotations

from collections.abc import Iterator

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.problems import Problem, Where, did_you_mean, error

_SINGULAR = {
    "areas": "area", "parts": "part", "functions": "function", "signs": "sign", "faults": "fault",
    "checks": "check", "fixes": "fix", "openings": "opening", "cautions": "caution",
    "complaints": "complaint", "gates": "gate", "stages": "stage",
}  # fmt: skip


class Names:
    """The known ids of each kind."""

    def __init__(self, assembly: Assembly, lost: frozenset[str]) -> None:
        self.assembly, self.lost = assembly, lost

    def of(self, kinds: tuple[str, ...]) -> set[str]:
        """Return the ids of some kinds together."""
        return {name for kind in kinds for name in self.assembly.kind(kind)}

    def known(self, name: str, kinds: tuple[str, ...]) -> bool:
        """Tell whether a name belongs to something of these kinds, or to what could not be read."""
        return name in self.lost or any(name in self.assembly.kind(kind) for kind in kinds)

    def wrong(self, name: str, kinds: tuple[str, ...], where: Where) -> Iterator[Problem]:
        """Yield the problem that a name is unknown, if it is."""
        if self.known(name, kinds):
            return
        known = self.of(kinds)
        wanted = " or ".join(_SINGULAR[kind] for kind in kinds)
        if not name:
            yield error("known-id", f"the name of a {wanted} is missing here", where)
            return
        message = f"there is no {wanted} `{name}`{self._elsewhere(name, kinds) or did_you_mean(name, known)}"
        yield error("known-id", message, where)

    def _elsewhere(self, name: str, kinds: tuple[str, ...]) -> str:
        for kind in _SINGULAR:
            if kind not in kinds and name in self.assembly.kind(kind):
                return f" (there is a {_SINGULAR[kind]} of that name)"
        return ""
