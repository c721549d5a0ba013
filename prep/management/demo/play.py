"""One unit's whole sheet over HTTP, with the mistakes people make, each caught and put right."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

import yaml

from prep.actions.yaml_files import read_document
from prep.management.demo.client import Answer, Client
from prep.management.demo.dealership import FIXTURES, PASSWORD, PIN
from prep.management.demo.technician import plain_picture

WORKABLE = ("to do", "begun", "ready to sign")
Say = Callable[[str], None]


class OutOfStepError(RuntimeError):
    """The service answered otherwise than the play expects."""


@dataclass
class Played:
    """What came of the play."""

    unit: str = ""
    entries: int = 0
    caught: int = 0
    steps: int = 0
    refused_release: list[str] = field(default_factory=list)


class Play:
    """Plays `fixtures/demo/rotary-cutter-readings.yaml` against a running service."""

    def __init__(self, address: str, say: Say) -> None:
        self.script: dict[str, Any] = yaml.safe_load(
            read_document(FIXTURES / "demo" / "rotary-cutter-readings.yaml")
        )
        self.say = say
        self.played = Played()
        self.technician, self.second, self.manager, self.sales = (
            Client(address, name, PASSWORD) for name in ("tess", "noel", "mara", "sid")
        )

    def run(self) -> Iterator[tuple[int, int, str]]:
        """Play; yields steps done, steps in all, and the title of the step just done."""
        self._receive()
        yield from self._work()
        self._mean_for_buyer()
        yield from self._work()
        self._release()

    def _path(self, rest: str = "") -> str:
        return f"units/{self.played.unit}" + (f"/{rest}" if rest else "")

    def _receive(self) -> None:
        received = _ok(
            self.technician.post(
                "units", {**self.script["unit"], "note": "Invented for the demonstration."}
            )
        )
        self.played.unit = received["unit"]
        _ok(self.technician.post(self._path("sheet"), {}))
        self.say(f"Received {self.script['unit']['serial']}, sheet started.")
        early = self._try_release()
        self.played.refused_release = [reason["text"] for reason in early.body["reasons"]]
        self.say(f"Release asked for too early: refused with {len(early.body['reasons'])} reasons.")

    def _try_release(self) -> Answer:
        sheet = self.manager.get(self._path("sheet"))
        body = {"seen": sheet.body["seen"], "pin": PIN}
        return self.manager.post(self._path("release"), body, tag=sheet.tag)

    def _steps(self) -> list[dict[str, Any]]:
        sheet = _ok(self.technician.get(self._path("sheet")))
        return [step for section in sheet["sections"] for step in section["steps"]]

    def _work(self) -> Iterator[tuple[int, int, str]]:
        """Work whatever can be worked, sheet order, until nothing is left to do."""
        while True:
            steps = self._steps()
            step = next((step for step in steps if step["status"] in WORKABLE), None)
            if step is None:
                return
            self._step(step)
            self.played.steps += 1
            yield self.played.steps, len(steps), step["title"]

    def _step(self, step: dict[str, Any]) -> None:
        who = self.technician if "technician" in step["who"] else self.manager
        place = f"steps/{step['step']}"
        if step["cautions"]:
            _ok(who.post(self._path(f"{place}/cautions"), {}))
        seen = step["seen"]
        for entry in self.script["readings"].get(step["step"], []):
            line = next(x for x in step["lines"] if x["line"] == entry["line"])
            seen = self._entry(who, step["step"], line, entry)
        signing = {"seen": seen, "pin": PIN}
        _ok(who.post(self._path(f"{place}/sign"), signing))
        if step["second_person"]:
            own = self.technician.post(self._path(f"{place}/second"), signing)
            if own.ok:
                raise OutOfStepError("one person checked twice")
            _ok(self.second.post(self._path(f"{place}/second"), signing))

    def _entry(self, who: Client, step: str, line: dict[str, Any], entry: dict[str, Any]) -> str:
        """One box; gives the digest of the step as it then stands."""
        where = {"step": step, "line": entry["line"], "position": entry.get("at", "")}
        if line["photo"]:
            query = f"photos?step={step}&line={entry['line']}"
            _ok(who.post(self._path(query), plain_picture(self.played.entries % 256)))
        self.played.entries += 1
        if not (line["quantity"] or line["choices"]):
            return _seen(who.post(self._path("checks"), {**where, "answer": True}))
        correction = self._mistake(who, where, entry) if "first" in entry else {}
        body = {
            **where,
            "text": entry["text"],
            "instrument": entry.get("with", ""),
            **correction,
        }
        key = uuid4()
        answer = who.post(self._path("readings"), body, key=key)
        _conforms(answer, entry)
        if entry.get("twice"):
            again = who.post(self._path("readings"), body, key=key)
            if not again.body["repeated"] or again.body["version"] != answer.body["version"]:
                raise OutOfStepError("a command sent twice counted twice")
            self.played.caught += 1
            self.say(entry["story"])
        return _seen(answer)

    def _mistake(self, who: Client, where: dict[str, Any], entry: dict[str, Any]) -> dict[str, str]:
        """Type the wrong thing first; gives what the correction must name."""
        first = entry["first"]
        body = {**where, "text": first["text"], "instrument": first.get("with", "")}
        answer = who.post(self._path("readings"), body)
        self.played.caught += 1
        self.say(f"{entry['story']}")
        if not answer.ok:
            code = answer.body["type"].rsplit(":", 1)[-1]
            if code != first["expect"]:
                raise OutOfStepError(f"{first['text']}: {answer.body}")
            self.say(f"   typed {first['text']!r} → {answer.body['detail']}")
            for choice in answer.body.get("choices", []):
                self.say(f"     · {choice['label']}")
            return {}
        taken = answer.body["entry"]
        if taken["verdict"] != first["expect"]:
            raise OutOfStepError(f"{first['text']}: {taken['verdict']}")
        limit = f", limit {taken['limit']['stated']}" if taken["limit"] else ""
        self.say(f"   typed {first['text']!r} → {taken['verdict']}{limit}")
        if answer.body["advice"]:
            self.say(f"   advice: {answer.body['advice']['text']}")
        if taken["verdict"] == "not a measurement":
            return {}
        return {"supersedes": taken["id"], "reason": "Put right and measured again."}

    def _mean_for_buyer(self) -> None:
        site = self.script["unit"]["site"]
        particulars = {"name": self.script["buyer"], "address": "2 Nowhere Lane (invented)"}
        buyer = _ok(self.sales.post("buyers", {"site": site, **particulars}))
        tractor = self.script["tractor"]
        _ok(self.sales.post(self._path("buyer"), {"buyer": buyer["id"], "tractor": tractor}))
        unit = _ok(self.sales.get(self._path("readiness")))["readiness"]
        self.say(
            f"Sales means it for {self.script['buyer']} and tractor {tractor}: "
            f"{unit['answer']}, {len(unit['reasons'])} steps depend on the tractor."
        )

    def _release(self) -> None:
        _ok(self._try_release())
        self.say("Released for its buyer by the service manager.")


def _ok(answer: Answer) -> dict[str, Any]:
    if not answer.ok:
        raise OutOfStepError(str(answer.body))
    body: dict[str, Any] = answer.body
    return body


def _seen(answer: Answer) -> str:
    return str(_ok(answer)["step"]["seen"])


def _conforms(answer: Answer, entry: dict[str, Any]) -> None:
    taken = _ok(answer)["entry"]
    if taken["verdict"] not in {"conforming", "no limit given"}:
        raise OutOfStepError(f"{entry}: {taken['verdict']}, {taken['limit']}")
