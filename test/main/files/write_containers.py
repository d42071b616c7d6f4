"""Writes one trace into EDF, EDF+D, BDF and MAT files, and says what independent readers make of them.

EDF and BDF are written here from their specifications (Kemp et al. 1992; Kemp & Olivan 2003; BDF as documented by its
makers) and read back by MNE; MAT-files are written by SciPy. Usage: write_containers.py FOLDER; JSON on standard output.
"""
import json
import os
import sys
import warnings

import numpy as np
import scipy.io

warnings.simplefilter("ignore")
folder = sys.argv[1]
RATE, SECONDS = 200, 6
rng = np.random.default_rng(5)
time = np.arange(RATE * SECONDS) / RATE
left = 3 * np.sin(2 * np.pi * 0.9 * time) + 0.05 * rng.standard_normal(time.size)
right = 2.5 * np.cos(2 * np.pi * 0.9 * time) + 0.05 * rng.standard_normal(time.size)
FURTHER = np.linspace(20, 21, 10 * SECONDS)


def pad(value, length):
    return str(value).ljust(length).encode("ascii")


def header(signals, records, reserved, first=b"0       "):
    count = len(signals)
    head = first + pad("X X X X", 80) + pad("Startdate 14-MAR-2026 X X X", 80) + pad("14.03.26", 8) + pad("09.00.00", 8)
    head += pad(256 * (count + 1), 8) + pad(reserved, 44) + pad(records, 8) + pad(1, 8) + pad(count, 4)
    for key, length in [("label", 16), ("transducer", 80), ("unit", 8), ("pmin", 8), ("pmax", 8), ("dmin", 8),
                        ("dmax", 8), ("filter", 80), ("samples", 8), ("reserved", 32)]:
        head += b"".join(pad(signal.get(key, ""), length) for signal in signals)
    return head


def digital(values, signal):
    share = (values - signal["pmin"]) / (signal["pmax"] - signal["pmin"])
    return np.round(signal["dmin"] + share * (signal["dmax"] - signal["dmin"])).astype(int)


def numbers(values, width):
    return b"".join(int(value).to_bytes(width, "little", signed=True) for value in values)


def write(path, channels, width, reserved, first=b"0       ", onsets=None, said=None):
    low, high = -(2 ** (8 * width - 1)), 2 ** (8 * width - 1) - 1
    signals = []
    for label, values, per_record in channels:
        signals.append({"label": label, "unit": "kPa", "pmin": -10, "pmax": 30, "dmin": low, "dmax": high,
                        "samples": per_record, "values": digital(values, {"pmin": -10, "pmax": 30, "dmin": low, "dmax": high})})
    notes = 30
    if onsets is not None:
        signals.append({"label": "EDF Annotations", "pmin": -1, "pmax": 1, "dmin": low, "dmax": high, "samples": notes})
    with open(os.path.join(folder, path), "wb") as file:
        file.write(header(signals, SECONDS if said is None else said, reserved, first))
        for record in range(SECONDS):
            for signal in signals:
                if "values" not in signal:
                    text = f"+{onsets[record]:g}\x14\x14\x00".encode("ascii")
                    file.write(text.ljust(notes * width, b"\x00"))
                    continue
                size = signal["samples"]
                file.write(numbers(signal["values"][record * size:(record + 1) * size], width))


channels = [("left hand", left, RATE), ("water", FURTHER, 10), ("right hand", right, RATE)]
write("plain.edf", channels, 2, "")
write("unknown.EDF", channels, 2, "", said=-1)
write("continuous.edf", channels, 2, "EDF+C", onsets=range(SECONDS))
ONSETS = [0, 1, 2, 3.5, 4.5, 10]
write("broken.edf", channels, 2, "EDF+D", onsets=ONSETS)
write("three.bdf", channels, 3, "24BIT", first=b"\xffBIOSEMI")
data = open(os.path.join(folder, "plain.edf"), "rb").read()
open(os.path.join(folder, "cut.edf"), "wb").write(data[:-1500])

scipy.io.savemat(os.path.join(folder, "plain.mat"), {"time": time, "L": left, "R": right.reshape(-1, 1)})
scipy.io.savemat(os.path.join(folder, "packed.mat"), {
    "note": "text", "rig": {"a": 1}, "t_ms": np.round(time * 1000).astype(np.int16), "z": 1 + 2j,
    "hands": np.column_stack([left, right]).astype(np.float32), "counts": np.arange(time.size, dtype=np.uint16)},
    do_compression=True)
scipy.io.savemat(os.path.join(folder, "four.mat"), {"L": left}, format="4")

import mne  # noqa: E402  slow, and only needed to read back


def by_mne(name, reader):
    raw = reader(os.path.join(folder, name), preload=True, verbose="error")
    picked = {label: raw.get_data(picks=[label])[0].tolist() for label in ("left hand", "right hand")}
    return {"rate": raw.info["sfreq"], **picked}


json.dump({
    "time": time.tolist(), "left": left.tolist(), "right": right.tolist(), "onsets": ONSETS,
    "read": {
        "plain.edf": by_mne("plain.edf", mne.io.read_raw_edf),
        "unknown.EDF": by_mne("plain.edf", mne.io.read_raw_edf),
        "continuous.edf": by_mne("continuous.edf", mne.io.read_raw_edf),
        "three.bdf": by_mne("three.bdf", mne.io.read_raw_bdf),
    },
}, sys.stdout)
