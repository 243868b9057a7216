#!/usr/bin/env python3
"""Holds PDFs that setwright prints against checkers that share nothing with it: structure (pikepdf), PDF/UA rules (pdfua,
outloud), and the words in order as two readers extract them (pypdf, pdfminer).

Usage: check.py PROGRAM FOLDER. Prints into FOLDER and leaves the PDFs there. check.sh installs what is needed."""

import datetime
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pikepdf
import pypdf
from pdfminer.high_level import extract_text

HERE = Path(__file__).resolve().parent
BRIEF = HERE.parents[2] / "data" / "demo" / "busy_adult.toml"

SHEET = """day,block,exercise,sets,reps,RIR,load,rest
Mon,A,bench press,4,6-8,2,80 kg,2 min
,B1,chin-up,3,8-10,2,,
,B2,plank,3,30,,,60
Thu,A,back squat,5,5,2,100,3:00
,B,leg curl,3,12,,40,90
"""

# What must be heard, in this order.
WORDS = {
    "sheet": ["Session 1", "bench press", "80 kg", "chin-up", "plank", "medical advice", "Session 2", "back squat"],
    "programme": ["Programme", "The cycle", "Session 1", "Session 2", "Sets a week", "To look at", "Before you train"],
    "block": ["Your training: Bram", "What you did", "18 sessions", "What grew", "back squat", "What recovers how fast", "medical advice"],
    "audit": ["Audit of", "What was understood", "bench press", "What a coach would say", "Before you train"],
}


def run(*asked, now=None):
    """Runs a command that must succeed, at another time than now if that is named."""
    env = {**os.environ, "SETWRIGHT_NOW": now} if now else None
    return subprocess.run([str(a) for a in asked], check=True, capture_output=True, text=True, env=env).stdout


def weeks():
    """Six invented weeks of log, three sessions each."""
    for week in range(6):
        for day in (0, 2, 4):
            yield f"day: {datetime.date(2026, 9, 7) + datetime.timedelta(days=7 * week + day)} 18:05"
            for name, kg in (("bench press", 60 + week), ("back squat", 90 + 2 * week), ("barbell row", 55 + week)):
                yield f"{name}: {kg} kg for 8+2 8+2 8+1"


def gym(program, folder):
    """A ledger with a client who has a brief, a programme and six weeks of log; the words to ask it with."""
    ledger, log = folder / "ledger.sqlite3", folder / "weeks.txt"
    ledger.unlink(missing_ok=True)
    log.write_text("\n".join(weeks()))
    asked = [program, "--ledger", ledger]
    begun, now = "2026-09-07T07:00:00+02:00", "2026-10-20T09:00:00+02:00"
    run(*asked, "client", "add", "Bram", "--brief", BRIEF, now=begun)
    run(*asked, "plan", BRIEF, "--publish", "Bram", now=begun)
    run(*asked, "log", "Bram", "--file", log, now=now)
    return asked, now


def plain(text):
    """Words without breaks and blanks."""
    return re.sub(r"\s+", "", text)


def in_order(text, words):
    """The first word that does not come where it should, if any."""
    text, at = plain(text), 0
    for word in words:
        found = text.find(plain(word), at)
        if found < 0:
            return word
        at = found
    return None


def faults(path, words):
    """What is wrong with a PDF, in words."""
    out = []
    with pikepdf.open(path) as pdf:
        check = getattr(pdf, "check_pdf_syntax", None) or pdf.check
        out += [f"structure: {problem}" for problem in check()]
        root = pdf.Root
        if str(root.get("/Lang")) != "en-GB" or not root.get("/MarkInfo", {}).get("/Marked"):
            out.append("no language or no tags")
        if not str(pdf.docinfo.get("/Title", "")):
            out.append("no title")
    for name, text in [
        ("pypdf", "".join(page.extract_text() for page in pypdf.PdfReader(path).pages)),
        ("pdfminer", extract_text(path)),
    ]:
        missing = in_order(text, words)
        if missing:
            out.append(f"{name}: \"{missing}\" is not where it should be")
    ua = subprocess.run([Path(sys.executable).parent / "pdfua", "check", path], capture_output=True, text=True)
    if ua.returncode != 0:
        out.append("pdfua: " + ua.stdout.strip())
    report = path.with_suffix(".json")
    subprocess.run(
        [Path(sys.executable).parent / "outloud", "-q", "--json", report, "--fail-on", "never", path],
        capture_output=True,
        check=True,
    )
    whole = plain("".join(page.extract_text() for page in pypdf.PdfReader(path).pages))
    for result in json.loads(report.read_text())["results"]:
        for finding in result["findings"]:
            # A head of a table that is repeated on the next page is for the eye alone; the first one is tagged.
            lines = [plain(line) for line in finding.get("evidence", "").split("; ")]
            repeated = finding["rule"] == "TAG-002" and all(whole.count(line) > 1 for line in lines)
            if finding["severity"] in ("error", "warning") and not repeated:
                out.append(f"outloud {finding['rule']}: {finding['message']} ({finding.get('evidence', '')})")
    return out


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    sheet, programme = folder / "sheet.csv", folder / "programme.toml"
    sheet.write_text(SHEET)
    run(program, "plan", BRIEF, "--out", programme)
    asked_of_gym, now = gym(program, folder)
    failed = False
    for paper in ["a4", "letter"]:
        made = {
            "sheet": ["sheet", sheet],
            "programme": ["report", "programme", programme, "--brief", BRIEF],
            "block": ["report", "block", "Bram"],
            "audit": ["report", "audit", sheet],
        }
        for kind, asked in made.items():
            path = folder / f"{kind}-{paper}.pdf"
            run(*asked_of_gym, *asked, "--paper", paper, "--out", path, now=now)
            wrong = faults(path, WORDS[kind])
            failed |= bool(wrong)
            print(f"{path.name}: {len(pypdf.PdfReader(path).pages)} pages, {'; '.join(wrong) or 'nothing wrong'}")
    sys.exit(failed)


if __name__ == "__main__":
    main()
