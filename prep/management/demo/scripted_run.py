"""A scripted run: one unit's whole sheet over the REST API, with mistakes that it catches."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from prep.management.demo.api_client import Answer, Client
from prep.management.demo.dealership import FIXTURES, PASSWORD, PIN
from prep.management.demo.simulated_technician import plain_picture
from prep.management.yaml_files import read_text
from prep.record.documents.typed import sound_document

OPEN = ("to-do", "begun", "ready-to-sign")
Report = Callable[[str], None]


class UnexpectedAnswerError(RuntimeError):
    """The service gave another answer than the script expects."""


@dataclass
class RunResult:
    """Counts of a scripted run."""

    unit: str = ""
    entries: int = 0
    mistakes_caught: int = 0
    steps: int = 0


class ScriptedRun:
    """Carries out `fixtures/demo/rotary-cutter-readings.yaml` against a running service."""

    def __init__(self, address: str, report: Report) -> None:
        script = read_text(FIXTURES / "demo" / "rotary-cutter-readings.yaml")
        self.script = sound_document(script, dict[str, Any])
        self.report = report
        self.result = RunResult()
        self.technician, self.second, self.manager, self.sales = (
            Client(address, name, PASSWORD) for name in ("tess", "noel", "mara", "sid")
        )

    def run(self) -> Iterator[tuple[int, int, str]]:
        """Carry out the script; yields steps done, steps in all, and the title of the last step."""
        self._receive()
        yield from self._do_open_steps()
        self._assign_buyer()
        yield from self._do_open_steps()
        self._release()

    def _path(self, rest: str = "") -> str:
        return f"units/{self.result.unit}" + (f"/{rest}" if rest else "")

    def _receive(self) -> None:
        received = _ok(
            self.technician.post(
                "units/receive", {**self.script["unit"], "note": "Invented for the demonstration."}
            )
        )
        self.result.unit = received["unit"]
        _ok(self.technician.post(self._path("sheet/start"), {}))
        self.report(f"Received {self.script['unit']['serial']}, sheet started.")
        early = self._try_release()
        self.report(
            f"Release asked for too early: refused with {len(early.body['reasons'])} reasons."
        )

    def _try_release(self) -> Answer:
        sheet = self.manager.get(self._path("sheet"))
        body = {"seen": sheet.body["seen"], "pin": PIN}
        return self.manager.post(self._path("release"), body, tag=sheet.tag)

    def _steps(self) -> list[dict[str, Any]]:
        sheet = _ok(self.technician.get(self._path("sheet")))
        return [step for section in sheet["sections"] for step in section["steps"]]

    def _do_open_steps(self) -> Iterator[tuple[int, int, str]]:
        """Do each step that is open, in the order of the sheet, until none is left."""
        while True:
            steps = self._steps()
            step = next((step for step in steps if step["status"] in OPEN), None)
            if step is None:
                return
            self._do_step(step)
            self.result.steps += 1
            yield self.result.steps, len(steps), step["title"]

    def _do_step(self, step: dict[str, Any]) -> None:
        who = self.technician if "technician" in step["who"] else self.manager
        if step["cautions"]:
            _ok(who.post(self._path("caution/acknowledge"), {"step": step["step"]}))
        seen = step["seen"]
        for entry in self.script["readings"].get(step["step"], []):
            line = next(x for x in step["lines"] if x["line"] == entry["line"])
            seen = self._enter(who, step["step"], line, entry)
        signing = {"step": step["step"], "seen": seen, "pin": PIN}
        _ok(who.post(self._path("step/sign"), signing))
        if step["second_person"]:
            own = self.technician.post(self._path("step/check"), signing)
            if own.ok:
                raise UnexpectedAnswerError("one person checked twice")
            _ok(self.second.post(self._path("step/check"), signing))

    def _enter(self, who: Client, step: str, line: dict[str, Any], entry: dict[str, Any]) -> str:
        """Answer one box; returns the digest of the step afterward."""
        where = {"step": step, "line": entry["line"], "position": entry.get("at", "")}
        if line["photo"]:
            query = f"photo/attach?step={step}&line={entry['line']}"
            _ok(who.post(self._path(query), plain_picture(self.result.entries % 256)))
        self.result.entries += 1
        if line["takes"] == "check":
            return _seen(who.post(self._path("check/complete"), {**where, "answer": True}))
        correction = self._enter_mistake(who, where, entry) if "first" in entry else {}
        path, body = self._entry(where, entry, entry)
        body |= correction
        key = uuid4()
        answer = who.post(path, body, key=key)
        _check_conforms(answer, entry)
        if entry.get("twice"):
            again = who.post(path, body, key=key)
            if not again.body["repeated"] or again.body["version"] != answer.body["version"]:
                raise UnexpectedAnswerError("a command sent twice counted twice")
            self.result.mistakes_caught += 1
            self.report(entry["story"])
        return _seen(answer)

    def _entry(
        self, where: dict[str, Any], entry: dict[str, Any], typed: dict[str, Any]
    ) -> tuple[str, dict[str, Any]]:
        """The address and the body of an entry: a reading, a choice, or a tool's setting."""
        body = {**where, "text": typed["text"], "instrument": typed.get("with", "")}
        if "checked" not in entry:
            return self._path("reading/take"), body
        counts = {name: entry[name] for name in ("checked", "moved")}
        return self._path("setting/check"), {**body, **counts}

    def _enter_mistake(
        self, who: Client, where: dict[str, Any], entry: dict[str, Any]
    ) -> dict[str, str]:
        """Enter the mistake of the script first; returns what the correction must name."""
        first = entry["first"]
        path, body = self._entry(where, entry, first)
        answer = who.post(path, body)
        self.result.mistakes_caught += 1
        self.report(entry["story"])
        if not answer.ok:
            code = answer.body["type"].rsplit(":", 1)[-1]
            if code != first["expect"]:
                raise UnexpectedAnswerError(f"{first['text']}: {answer.body}")
            self.report(f"   typed {first['text']!r} → {answer.body['detail']}")
            for choice in answer.body.get("choices", []):
                self.report(f"     · {choice['label']}")
            return {}
        taken = answer.body["entry"]
        if taken["verdict"] != first["expect"]:
            raise UnexpectedAnswerError(f"{first['text']}: {taken['verdict']}")
        limit = f", limit {taken['limit']['stated']}" if taken["limit"] else ""
        self.report(f"   typed {first['text']!r} → {taken['verdict_words']['word']}{limit}")
        if answer.body["advice"]:
            self.report(f"   advice: {answer.body['advice']['text']}")
        if taken["verdict"] == "not-measured":
            return {}
        return {"supersedes": taken["id"], "reason": "Fixed and measured again."}

    def _assign_buyer(self) -> None:
        site = self.script["unit"]["site"]
        particulars = {"name": self.script["buyer"], "address": "2 Nowhere Lane (invented)"}
        buyer = _ok(self.sales.post("buyers/add", {"site": site, **particulars}))
        tractor = self.script["tractor"]
        _ok(self.sales.post(self._path("buyer/assign"), {"buyer": buyer["id"], "tractor": tractor}))
        unit = _ok(self.sales.get(self._path("readiness")))["readiness"]
        self.report(
            f"Sold to {self.script['buyer']} with tractor {tractor}: "
            f"{unit['answer']}, {len(unit['reasons'])} steps depend on the tractor."
        )

    def _release(self) -> None:
        _ok(self._try_release())
        self.report("Released for its buyer by the service manager.")


def _ok(answer: Answer) -> dict[str, Any]:
    if not answer.ok:
        raise UnexpectedAnswerError(str(answer.body))
    body: dict[str, Any] = answer.body
    return body


def _seen(answer: Answer) -> str:
    return str(_ok(answer)["step"]["seen"])


def _check_conforms(answer: Answer, entry: dict[str, Any]) -> None:
    taken = _ok(answer)["entry"]
    if taken["verdict"] not in {"conforming", "no-limit", "setting-in-limit"}:
        raise UnexpectedAnswerError(f"{entry}: {taken['verdict']}, {taken['limit']}")
