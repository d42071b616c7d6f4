"""Which trials and rows of a day may be broken."""


def visible(day, test=lambda facts: True):
    return [f for f in day.trial_facts.values() if not f["withheld"] and test(f)]


def pick(day, items):
    items = list(items)
    return items[int(day.rng.integers(0, len(items)))] if items else None


def trial_row(day, code):
    return next(r for r in day.tables["trials.csv"].rows if r["trial"] == code)


def rows_of(day, name):
    """Good rows of trials that are processed."""
    codes = {f["code"] for f in visible(day)}
    return [r for r in day.tables[name].rows
            if r.get("trial") in codes and "_broken" not in r and "_used" not in r]
