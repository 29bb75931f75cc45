"""The sixteen shapes in which logs come, each written from one invented truth.

``python tests/logs/sixteen.py`` writes the files of ``tests/logs/shapes/`` anew; a test compares
what they say. The layouts are our own, made after what people describe; none is a device's.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable, Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

PARIS = ZoneInfo("Europe/Paris")
STEP = 300  # s
COUNT = 318  # 26.5 h, so that elapsed time passes 24 h
START = dt.datetime(2031, 6, 14, 9, 0, tzinfo=PARIS).timestamp()
FOLDER = Path(__file__).parent / "shapes"

T = START + STEP * np.arange(COUNT)
AIR = np.round(4 + 20.8 * np.exp(-np.arange(COUNT) / 24) + 0.4 * np.sin(np.arange(COUNT) / 2), 1)
ROOM = np.round(25 + 0.5 * np.sin(np.arange(COUNT) / 46), 1)
RUNS = (np.arange(COUNT) < 60) | (np.arange(COUNT) % 8 < 3)
POWER = np.where(RUNS, 48.5, 1.5)
COUNTED = np.concatenate([[0.0], np.cumsum(POWER[:-1]) * STEP / 3600])  # Wh


def local(t: float) -> dt.datetime:
    """Wall clock of the bench."""
    return dt.datetime.fromtimestamp(t, PARIS)


def lines(*parts: str | Iterator[str]) -> str:
    """Lines of a file."""
    return "\n".join(line for part in parts
                     for line in ([part] if isinstance(part, str) else part)) + "\n"


def comma(value: float, digits: int = 1) -> str:
    """With a decimal comma."""
    return f"{value:.{digits}f}".replace(".", ",")


def plain() -> str:
    return lines("time,inside_C,ambient_C,power_W", (
        f"{local(t):%Y-%m-%d %H:%M:%S},{a},{r},{p}"
        for t, a, r, p in zip(T, AIR, ROOM, POWER, strict=True)))


def continental() -> bytes:
    rows = (f"{local(t):%d.%m.%Y;%H:%M};{comma(a)};{comma(r)}"
            for t, a, r in zip(T, AIR, ROOM, strict=True))
    return b"\xef\xbb\xbf" + lines("Datum;Uhrzeit;Innen;Raum", rows).replace(
        "\n", "\r\n").encode()


def preamble() -> str:
    return lines(
        "Report: cool box bench", "Serial: 00-INVENTED-00", f"Start: {local(START):%Y-%m-%d %H:%M}",
        f"Interval: {STEP} s", f"Readings: {COUNT}", "",
        "No.,Time,Inside (degC),Room (degC)",
        (f"{i + 1},{local(t):%Y/%m/%d %H:%M:%S},{a},{r}"
         for i, (t, a, r) in enumerate(zip(T, AIR, ROOM, strict=True))),
        "", f"Max,,{AIR.max()},{ROOM.max()}", f"Min,,{AIR.min()},{ROOM.min()}",
        f"Avg,,{AIR.mean():.1f},{ROOM.mean():.1f}")


def fahrenheit() -> str:
    def f(value: float) -> str:
        return f"{value * 1.8 + 32:.2f}"

    def when(t: float) -> str:
        clock = local(t)
        hour = clock.hour % 12 or 12
        return (f"{clock.month}/{clock.day}/{clock.year} {hour}:{clock:%M} "
                f"{'AM' if clock.hour < 12 else 'PM'}")

    return lines('"Date/Time","Inside probe","Room probe"', '"","degF","degF"', (
        f'"{when(t)}","{f(a)}","{f(r)}"' for t, a, r in zip(T, AIR, ROOM, strict=True)))


def elapsed() -> str:
    def since(t: float) -> str:
        s = int(t - START)
        return f"{s // 3600}:{s // 60 % 60:02d}:{s % 60:02d}"

    return lines("elapsed\tair_C\troom_C", (
        f"{since(t)}\t{a}\t{r}" for t, a, r in zip(T, AIR, ROOM, strict=True)))


def on_change() -> str:
    """A row where a value changes, and one each 25 min where it does not."""
    rows = []
    for channel, unit, values in (("box air", "°C", AIR), ("stall room", "°C", ROOM),
                                  ("box power", "W", POWER)):
        before, told = None, 0
        for i, (t, value) in enumerate(zip(T, values, strict=True)):
            if channel == "box air" and 200 < i < 205:
                continue  # the sensor is away
            if value != before or i - told == 5:
                rows.append((int(t * 1000), channel, f"{value}", unit))
                told = i
            before = value
        rows.append((int(T[-1] * 1000) + 1, channel, f"{values[-1]}", unit))
    rows.append((int(T[200] * 1000) + 1000, "box air", "unavailable", "°C"))
    rows.sort()
    return lines("epoch_ms,channel,value,unit", (f"{t},{c},{v},{u}" for t, c, v, u in rows))


def buckets() -> str:
    hours = COUNT * STEP // 3600
    sums = (POWER[: hours * 12] * STEP / 3600).reshape(hours, 12).sum(axis=1)
    return lines("hour beginning,energy (Wh)", (
        f"{local(START + 3600 * h):%Y-%m-%d %H:%M},{e:.2f}" for h, e in enumerate(sums)))


def counter() -> str:
    """Steps of 0.01 kWh; the plug loses its count for a while and finds it again."""
    kwh = np.floor((123_450.0 + COUNTED) / 10) / 100
    lost = (np.arange(COUNT) >= 150) & (np.arange(COUNT) < 180)
    kwh[lost] = np.floor((COUNTED[lost] - COUNTED[150]) / 10) / 100
    return lines("time,total_kWh,power_W", (
        f"{local(t):%Y-%m-%dT%H:%M:%S%z},{k:.2f},{p}"
        for t, k, p in zip(T, kwh, POWER, strict=True)))


def dc_meter() -> str:
    """Discharge counts as negative; the meter's own counter reads 4 % high."""
    return lines("date;clock;U_mV;I_mA;E_Wh", (
        f"{local(t):%d.%m.%Y;%H:%M:%S};12500;{-p / 12.5 * 1000:.0f};{e * 1.04:.2f}"
        for t, p, e in zip(T, POWER, COUNTED, strict=True)))


def hub() -> str:
    """Opaque names, two rates, and the codes of a sensor that was not there."""
    rows = []
    for i, (t, a, r) in enumerate(zip(T, AIR, ROOM, strict=True)):
        first = "85.0" if i == 0 else "-127.0" if i in (100, 101) else f"{a}"
        second = f"{r}" if i % 2 == 0 else ""
        rows.append(f"{local(t):%Y-%m-%d %H:%M:%S},{first},{second},---")
    return lines("stamp,probe-7f3a01c2,probe-19be77d0,probe-00000000", iter(rows))


def serial() -> str:
    """Boot text, headings after each boot, a clock that is not set yet, a half line."""
    rows = ["boot v2 sensors=2", "t  air_C  room_C"]
    rows += [f"1970-01-01T00:00:{s:02d}  {AIR[0]}  {ROOM[0]}" for s in (1, 6, 11)]
    for i, (t, a, r) in enumerate(zip(T, AIR, ROOM, strict=True)):
        if i == 160:
            rows += [f"{local(t):%Y-%m-%dT%H:%M:%S}  {a}", "rst cause 4", "boot v2 sensors=2",
                     "t  air_C  room_C"]
            continue
        rows.append(f"{local(t):%Y-%m-%dT%H:%M:%S}  {a}  {r}")
        if i == 170:
            rows.append(rows[-1])
    return lines(iter(rows))


def hand_sheet() -> bytes:
    """A workbook as people keep them: title over merged cells, remarks, mixed units, blanks."""
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet("Saturday")
    when = book.add_format({"num_format": "dd.mm.yyyy hh:mm"})
    sheet.merge_range("A1:F1", "Cool box, Saturday (invented)")
    for place, head in enumerate(["When", "Inside", "Room", "Meter kWh", "", "Remarks"]):
        sheet.write(2, place, head)
    for row, i in enumerate(range(0, COUNT, 12), start=3):
        sheet.write_datetime(row, 0, local(T[i]).replace(tzinfo=None), when)
        if row == 7:
            sheet.write(row, 1, f"approx {AIR[i]} °C")
        elif row == 9:
            sheet.write(row, 1, f"{AIR[i] * 1.8 + 32:.2f} °F")
        elif row != 11:
            sheet.write(row, 1, f"{AIR[i]} °C")
        sheet.write(row, 2, f"{ROOM[i]} °C")
    last = 2 + len(range(0, COUNT, 12))
    sheet.write(3, 3, 12.3)
    sheet.write(last, 3, 12.3 + round(COUNTED[(last - 3) * 12] / 1000, 2))
    sheet.write(8, 5, "lid was open for a minute")
    book.close()
    return out.getvalue()


def unicode_text() -> bytes:
    return lines("Zeit\tInnen °C\tRaum °C", (
        f"{local(t):%Y-%m-%d %H:%M:%S}\t{a}\t{r}"
        for t, a, r in zip(T, AIR, ROOM, strict=True))).encode("utf-16")


def rotated() -> dict[str, str]:
    """A file a day over the autumn change of the clock, each beginning with the last one's end."""
    start = dt.datetime(2031, 10, 25, 9, 0, tzinfo=PARIS).timestamp()
    days: dict[str, list[str]] = {}
    rows = [(local(start + STEP * i), a, r) for i, (a, r) in enumerate(zip(AIR, ROOM, strict=True))]
    for before, (when, a, r) in zip([None, *rows], rows, strict=False):
        day = days.setdefault(f"{when:%Y-%m-%d}", ["time,inside_C,room_C"])
        if before and len(day) == 1:
            day.append(f"{before[0]:%Y-%m-%d %H:%M:%S},{before[1]},{before[2]}")
        day.append(f"{when:%Y-%m-%d %H:%M:%S},{a},{r}")
    return {day: lines(iter(some)) for day, some in days.items()}


def sound() -> str:
    level = np.where(np.arange(600) % 300 < 120, 42.3, 33.1) + (np.arange(600) % 7) / 10
    return lines("time;level dB(A);max dB(A)", (
        f"{local(START + i):%Y-%m-%d %H:%M:%S};{v:.1f};{v + 1.2:.1f}"
        for i, v in enumerate(level)))


def scale() -> str:
    grams = np.round(np.arange(COUNT) * 2.7, 0)
    grams[120:] -= grams[120]  # the can was emptied
    return lines("seconds,weight_g", (f"{i * STEP},{g:.0f}" for i, g in enumerate(grams)))


SHAPES: dict[str, Callable[[], str | bytes]] = {
    "01-plain.csv": plain, "02-continental.csv": continental, "03-preamble.csv": preamble,
    "04-fahrenheit.csv": fahrenheit, "05-elapsed-2031-06-14_0900.tsv": elapsed,
    "06-on-change.csv": on_change, "07-buckets.csv": buckets, "08-counter.csv": counter,
    "09-dc-meter.csv": dc_meter, "10-hub.csv": hub, "11-serial.txt": serial,
    "12-hand-sheet.xlsx": hand_sheet, "13-unicode.txt": unicode_text, "15-sound.csv": sound,
    "16-scale.csv": scale,
}


def write(folder: Path) -> None:
    """All sixteen."""
    folder.mkdir(exist_ok=True)
    for name, make in SHAPES.items():
        made = make()
        (folder / name).write_bytes(made if isinstance(made, bytes) else made.encode("utf-8"))
    for day, text in rotated().items():
        (folder / f"14-daily-{day}.csv").write_bytes(text.encode("utf-8"))


if __name__ == "__main__":
    write(FOLDER)
