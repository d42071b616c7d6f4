"""Holds what stands around a dataset's tables against the files themselves: the Data Package, the
codebook, where it came from, and that nobody without consent is in it.

Sources: Data Package v2 (package, resource, Table Schema), RFC 4180 (but LF, as formats.md says).
"""
import csv
import hashlib
import io
import json
import os
import re

TABLES = ("participants", "calibrations", "trials", "strokes", "refused")
# The longest ending first: what a column's name says of its unit.
UNITS = (
    ("_raw_per_kpa", "raw/kPa"), ("_pct_fs", "%"), ("_m_s", "m/s"), ("_kpa", "kPa"), ("_cm2", "cm²"),
    ("_cpm", "cycles/min"), ("_pct", "%"), ("_ns", "N·s"), ("_cm", "cm"), ("_kg", "kg"),
    ("_n", "N"), ("_s", "s"), ("_m", "m"),
)
CELLS = {
    "integer": re.compile(r"-?\d+"),
    "number": re.compile(r"-?\d+(\.\d+)?([eE][-+]?\d+)?"),
    "boolean": re.compile(r"true|false"),
    "string": re.compile(r".*", re.DOTALL),
}


def digest(path):
    with open(path, "rb") as handle:
        return hashlib.sha256(handle.read()).hexdigest()


def unit_of(column):
    name = column[:-2] if column.endswith("_u") else column
    return next((unit for ending, unit in UNITS if name.endswith(ending)), None)


def compare_resource(tally, folder, name, resource):
    where = "datapackage.json %s" % name
    path = os.path.join(folder, name + ".csv")
    if resource is None:
        tally.check(False, where, "not there", "a resource")
        return
    with open(path, "rb") as handle:
        data = handle.read()
    clean = not data.startswith(b"\xef\xbb\xbf") and b"\r" not in data and data.endswith(b"\n")
    tally.check(clean, name + ".csv", "BOM, CR or no last LF", "UTF-8 without BOM, LF")
    header, *rows = csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True)
    for row in rows:
        tally.check(len(row) == len(header), name + ".csv", "%d cells" % len(row), len(header))
    tally.check(resource.get("mediatype") == "text/csv", where, resource.get("mediatype"), "text/csv")
    tally.check(("data" in resource) is False and resource["name"] == name, where, resource["name"], name)
    fields = {field["name"]: field for field in resource["schema"]["fields"]}
    tally.check(list(fields) == header, where, list(fields), header)
    tally.check(resource["bytes"] == os.path.getsize(path), where, resource["bytes"], "its bytes")
    tally.check(resource["hash"].removeprefix("sha256:") == digest(path), where, resource["hash"],
                digest(path))
    for field in fields.values():
        at = "%s %s" % (where, field["name"])
        tally.check(bool(field.get("description")), at, "no description", "one")
        if name != "refused" and unit_of(field["name"]) and field["type"] == "number":
            tally.check(field.get("unit") == unit_of(field["name"]), at, field.get("unit"),
                        unit_of(field["name"]))
    for row in rows:
        for column, cell in zip(header, row):
            kind = fields.get(column, {}).get("type", "string")
            tally.check(not cell or CELLS[kind].fullmatch(cell), "%s.csv %s" % (name, column), cell, kind)


def compare_package(tally, folder, oracle):
    def text(file):
        with open(os.path.join(folder, file), encoding="utf-8") as handle:
            return handle.read()

    package = json.loads(text("datapackage.json"))
    tally.check(package.get("day") == oracle["day"], "datapackage.json day", package.get("day"),
                oracle["day"], "datapackage.day")
    names = [resource["name"] for resource in package["resources"]]
    tally.check(len(set(names)) == len(names) > 0, "datapackage.json resources", names, "each name once")
    profile = "https://datapackage.org/profiles/2.0/datapackage.json"
    tally.check(package.get("$schema") == profile, "datapackage.json $schema", package.get("$schema"), profile)
    resources = {resource["path"]: resource for resource in package["resources"]}
    for name in TABLES:
        compare_resource(tally, folder, name, resources.get(name + ".csv"))
    flags = set()
    for name in ("trials", "strokes"):
        with open(os.path.join(folder, name + ".csv"), encoding="utf-8", newline="") as handle:
            for row in csv.DictReader(handle):
                flags |= set(filter(None, (row.get("flags") or "").split(";")))
    codebook = text("README.md")
    for flag in sorted(flags):
        tally.check("| %s |" % flag in codebook, "README.md flag " + flag, "not explained", "explained")
    inputs = {item["path"]: item["sha256"] for item in json.loads(text("provenance.json"))["inputs"]}
    for path in oracle["files"]:
        tally.check(path in inputs, "provenance.json " + path, "not there", "its SHA-256", "provenance.inputs")
    for path, found in inputs.items():
        true = digest(os.path.join(oracle["folder"], path))
        tally.check(found == true, "provenance.json " + path, found, true)
    withheld = oracle["withheld_files"]
    for path in withheld:
        tally.check(path not in inputs, "provenance.json " + path, "there", "of a swimmer without consent")
    for code in filter(None, oracle["withheld"]):
        pattern = re.compile(r"(?<![A-Za-z0-9_.-])%s(?![A-Za-z0-9_.-])" % re.escape(code))
        for file in sorted(os.listdir(folder)):
            tally.check(not pattern.search(text(file)), "%s names %s" % (file, code), "there",
                        "a swimmer without consent")
