"""Cautions for whoever builds, methods, inputs; and the predictions on file."""

from __future__ import annotations

import json

from coldbench.design.expected import findings_of
from coldbench.design.limits import DESIGN
from coldbench.design.parts import bill
from coldbench.quantities import us
from coldbench.report.design_book import DesignBook
from coldbench.report.display import Caution, KeyValue, Table, Text
from coldbench.report.provenance import provenance, write_provenance
from coldbench.report.results import DESIGN as FILE
from coldbench.report.results import entry
from coldbench.report.sections.cautions import cautions as of_the_tested
from coldbench.report.sections.inputs import settings

SHAPE = 1  # of design.json
METHODS = (
    ("Box", "walls by inside area, 0.54 of each edge and 0.15 of the thickness at each corner "
     "(Langmuir and others 1913, as in Holman), films in series; what the present box leaks "
     "beyond its own is carried over, partly with the walls and partly with the rim"),
    ("Thermoelectric machine", "Qc = α I Tc − I² R/2 − K ΔT with data-sheet constants (Kutz, "
     "Mechanical Engineers' Handbook vol. 4, p. 411), sides and volts fitted to the cooler's own "
     "run, draw by draw; what cannot be believed is not used"),
    ("Compressor unit", "running capacity and power against inside and ambient, fitted to steady "
     "runs and unbroken pull-downs; duty = heat / running capacity"),
    ("Energy", "mean power that holds the inside at the stated ambient, with the warm goods' heat "
     "spread over the day, times 24 h"),
    ("Intervals", "4 000 draws of every hidden constant, the same before and after a change; 2.5 "
     "and 97.5 % quantiles (JCGM 101)"),
    ("Musts", "boxes are chosen by middle values; whether a pick meets a must beyond doubt is "
     "judged by its draws"),
)
BUILDING = (
    ("Moving a unit whole", "Plate, lines, compressor and condenser stay joined and closed: no "
     "cutting, piercing, soldering or filling, no bending of lines, no drilling near them. Upright "
     "in use and on the way. Ask the maker's manual and a certified refrigeration technician "
     "before; local law holds."),
    ("Air for the hot side", "A condenser or radiator that breathes its own warm air fails on the "
     "hot day. Free area and clearance are the unit's manual's to say; check that the air at its "
     "intake stays within a few kelvin of the room."),
    ("Foam and adhesives", "Cutting dust, solvents and two-part foams harm lungs and eyes; some "
     "foams burn fast. Follow the product's safety sheet; no open foam near heat."),
    ("Heat that climbs", "When a fan or pump stops, the hot side of modules climbs within minutes. "
     "Fit a cut-out by the module's data sheet."),
)


def cautions(design: DesignBook) -> list[object]:
    """Those of what was tested, and those of building.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    return [*(Caution(*one) for one in BUILDING), *of_the_tested(design.book)]


def methods(design: DesignBook) -> list[object]:
    """How each number was made."""
    return [Table(["Of", "How"], [list(one) for one in METHODS], caption="Methods")]


def inputs(design: DesignBook) -> list[object]:
    """Checksums and versions."""
    book = design.book
    found = provenance(book.campaign, paper=book.paper, units=us.chosen(), verb="design")
    files = [[i["file"], str(i["bytes"]), i["sha256"]] for i in found["inputs"]]
    drawn = found["settings"]["draws"]
    return [
        Table(["File", "Bytes", "SHA-256"], files, caption="Inputs, as received"),
        KeyValue([*found["versions"].items(),
                  ("Draws", f"{drawn['count']}, seed {drawn['seed']}"),
                  ("Make this page again", found["again"])]),
        settings("Limits and assumptions of designs; those of reading and analysis stand in the "
                 "comparison report", DESIGN),
    ]


def finish(design: DesignBook) -> Text:
    """Write the predictions beside the pages; the proof that all cells ran."""
    book = design.book
    if book.out is None:
        return Text("Nothing was written: the notebook was given no folder for results.",
                    style="small")
    book.out.mkdir(parents=True, exist_ok=True)
    write_provenance(book.out, book.campaign, paper=book.paper, units=us.chosen(), verb="design")
    told = {"shape": SHAPE, "title": book.campaign.sheet.title, "steps": _steps(design),
            "picks": _picks(design)}
    text = json.dumps(told, indent=1, ensure_ascii=False, allow_nan=False)
    (book.out / FILE).write_text(text + "\n", encoding="utf-8", newline="\n")
    return Text("Steps and picks are in design.json beside this page, in SI units.", style="small")


def _steps(design: DesignBook) -> list[dict[str, object]]:
    return [{"what": one.what, "price": one.price, "sure": one.sure, "fits": one.fits,
             "doubt": one.doubt, "first": one in design.first} for one in design.steps]


def _picks(design: DesignBook) -> list[dict[str, object]]:
    if design.front is None:
        return []
    c, machines = design.candidates, [one.machine for one in design.options]
    found = []
    for pick, index in design.front.picks.items():
        option = design.options[int(c.machine[index])]
        parts = bill(c, index, machines, design.wishes.boards, design.wishes)
        rows = findings_of(design.build(index), pick, option.metered_at)
        found.append({
            "pick": pick, "machine": option.machine.key,
            "board": design.wishes.boards[int(c.board[index])].material,
            "wall": float(c.wall[index]), "inside": [float(x) for x in c.box(index).inside()],
            "litres": float(c.litres[index]), "findings": [entry(row) for row in rows],
            "parts": [{"name": p.name, "count": p.count, "unit": p.unit, "price": p.price}
                      for p in parts],
        })
    return found
