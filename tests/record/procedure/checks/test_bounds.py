"""A check costs bounded work: the most that fits into a document, all of it wrong."""

import random
import string
import time
from typing import Final

import pytest

from prep.record.documents.problems import MOST_PROBLEMS, unfit
from prep.record.documents.typed import read_document
from prep.record.procedure.checks.check import check
from prep.record.procedure.document import Procedure
from tests.record.procedure.shipped import KNOWN

HEAD: Final = """\
procedure: p
revision: 9
title: t
manual: m
note: n
models: [LF-RC15, LF-RC20, HM-C6, HM-C10]
sections:
- section: s
  title: t
  steps:
  - step: a
    title: t
    kind: check
    do: d
    lines:
"""
LINE: Final = (
    "    - {{line: l{n}, ask: a, quantity: torque, "
    "limit: {{source: s, basis: standard, nominal: {0}}}}}\n"
)


@pytest.mark.parametrize(
    ("nominal", "code"),
    [
        ("{{rule: {word}}}", "rule-unknown"),
        ("{{from: model.{word}}}", "model-data-missing"),
        ("{n}{word} {word}", "value-unit"),
        ("{{from: reading.a.{word}}}", "reading-not-earlier"),
    ],
)
def test_a_document_full_of_faults_is_answered_soon(nominal: str, code: str) -> None:
    """Each with a word of its own. The bound is ten times what was measured, 1.1 s at most."""
    letters = random.Random(1)
    lines = []
    for n in range(1500):
        word = "".join(letters.choices(string.ascii_lowercase, k=30))
        lines.append(LINE.replace("{0}", nominal).format(n=n, word=word))
    began = time.process_time()
    problems = check(read_document(HEAD + "".join(lines), Procedure), KNOWN)
    refusal = unfit(problems)
    assert time.process_time() - began < 11
    assert {one.code for one in problems} == {code}
    assert len(refusal.details["problems"]) == MOST_PROBLEMS
    assert refusal.details["count"] == len(problems)
