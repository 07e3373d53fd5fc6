"""Names in fleet.toml that the fleet's own lists do not know: the step `unknown_settings` of a run.

They are told as other faults of fleet.toml are: by key and line, what was found, what was expected and what was
probably meant. A setting of that name does nothing; the run goes on. Nothing here changes a setting.
"""

import duckdb

from fleetreport.alike import did_you_mean
from fleetreport.query import Step, fill_table

COLUMNS = {"line": "bigint", "key": "varchar", "said": "varchar"}
EXPECTED = {
    "depots": "a depot that stands in vehicles",
    "kinds": "labour, * or a kind that stands in items",
    "items": "one that stands in items",
    "products": "what stands in packs.csv",
}
KNOWN = {
    "depots": "select distinct depot from vehicles where depot is not null",
    "kinds": "select distinct kind from items where kind is not null union select unnest(['labour', '*'])",
    "items": "select item from items",
}


def _find(db: duckdb.DuckDBPyConnection) -> None:
    known = {of: sorted(name for (name,) in db.execute(sql).fetchall()) for of, sql in KNOWN.items()}
    offered: dict[str, dict[str, str]] = {}
    for item, product in db.execute(
        "select distinct item, product from offers where product is not null order by all"
    ).fetchall():
        offered.setdefault(item, {})[product.strip().lower()] = product
    names = db.execute('select "of", key, name, product, line from setting_names').fetchall()
    rows = []
    for of, key, name, product, line in sorted(names, key=lambda one: (one[4], one[1])):
        if of == "products":
            if product.strip().lower() in offered.get(name, {}):
                continue
            found = f'item "{name}", product "{product}"'
            near = did_you_mean(product, offered[name].values()) if name in offered else did_you_mean(name, offered)
        elif name in known[of]:
            continue
        else:
            found, near = f'"{name}"', did_you_mean(name, known[of])
        rows.append((line, key, f"{key}: found {found}, expected {EXPECTED[of]}{near}: it is not used"))
    fill_table(db, "unknown_settings", COLUMNS, rows)


UNKNOWN_SETTINGS = Step("unknown_settings", ("setting_names", "vehicles", "items", "offers"), _find)
