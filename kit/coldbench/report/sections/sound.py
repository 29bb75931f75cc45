"""Sound beside each cooler; and what cable and adapter take on the way to it."""

from __future__ import annotations

from coldbench.compare.sound import NOT_A_LABEL
from coldbench.figures import sound_levels, sound_log
from coldbench.physics.sound import level_at
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Heading, Text
from coldbench.report.sections.tables import side_by_side


def heard(book: Book) -> list[object]:
    """The same under a heading of its own."""
    return [Heading(3, "Sound"), *sound(book)]


def sound(book: Book) -> list[object]:
    """Levels in a chart and a table, each log over time, and how often machines start."""
    starts = side_by_side(book, ["starts_per_hour"], "How often the machine starts")
    if not any(f.basis != "not measured" for f in book.find(finding="sound_level")):
        return [Text("Sound was not read: needs a run of kind “sound” with readings or a log, and "
                     "state, distance and background under [sound]."), *starts]
    twice = number(float(-level_at(0.0, 1.0, 2.0)), 0)
    shown = [
        *book.figure(sound_levels(book.rows, coolers=book.coolers, styles=book.styles,
                                  names=book.names)),
        *side_by_side(
            book, ["sound_level"], "A-weighted sound level, by state and distance [dB]",
            by_at=True, note=f"{NOT_A_LABEL} In the open a level falls by {twice} dB where the "
                             "distance doubles, in a room by less: none is carried over from one "
                             "distance to another."),
    ]
    for cooler in book.coolers:
        for run in book.result.of(cooler, "sound"):
            shown += book.figure(sound_log(run.record, run.findings, style=book.styles[cooler],
                                           name=book.names[cooler]))
    return [*shown, *starts]


def connection(book: Book) -> list[object]:
    """What cable and adapter take, and the volts at which a cooler cuts out."""
    shown = side_by_side(
        book, ["cable_drop"], "Volts lost in the cable, of the nominal ones [%]", by_at=True,
        note="An estimate: it chooses neither a wire nor a fuse (see the cautions). Plugs, fuses "
             "and switches take more.", all_notes=False)
    shown += side_by_side(
        book, ["cut_out_volts", "restart_volts"], "Volts at which it stops and starts again",
        note="At the metering point named, under its own load.")
    return shown + side_by_side(
        book, ["adapter_loss"], "What the mains adapter takes [W]", by_at=True,
        note="Power at the wall in one run minus power at the cooler in another one like it.")
