// Sorting and filtering of what stands on the page. The page says all without it; it asks for nothing and keeps nothing but the address.
"use strict";
(() => {
  const all = (what, where = document) => [...where.querySelectorAll(what)];
  const order = new Intl.Collator(document.documentElement.lang, { numeric: true });
  const address = new URLSearchParams(location.search);
  const remember = (name, value) => {
    if (value) address.set(name, value); else address.delete(name);
    const said = address.toString();
    try { history.replaceState(null, "", location.pathname + (said && "?" + said) + location.hash); } catch { /* some viewers forbid it */ }
  };

  const keyOf = (row, column) => {
    const cell = row.cells[column];
    return cell ? cell.dataset.sort ?? cell.textContent.trim() : "";
  };
  function sort(table, column, falling) {
    const body = table.tBodies[0];
    const keyed = [...body.rows].map((row, place) => [keyOf(row, column), place, row]);
    const numbers = keyed.every(([key]) => key === "" || !Number.isNaN(Number(key)));
    const ahead = numbers ? (a, b) => a - b : order.compare;
    // What has no value stays last in both directions; equals keep their order.
    keyed.sort(([a, i], [b, j]) => (a === "") - (b === "") || (falling ? ahead(b, a) : ahead(a, b)) || i - j);
    const sorted = document.createDocumentFragment();
    keyed.forEach(([, , row]) => sorted.append(row));
    body.append(sorted);
    all("thead th", table).forEach((head) => head.removeAttribute("aria-sort"));
    headOf(table, column).setAttribute("aria-sort", falling ? "descending" : "ascending");
  }
  // A list that goes on in a folded one is sorted as one list, and no longer says that it is in the order it came in.
  function gather(table) {
    const more = table.dataset.more && document.querySelector(`table[data-name="${table.dataset.more}"]`);
    if (more) {
      table.tBodies[0].append(...more.tBodies[0].rows);
      more.closest("details").remove();
      delete table.dataset.more;
    }
    const caption = table.caption?.dataset.sorted;
    if (caption) table.caption.textContent = caption;
  }
  const headOf = (table, column) => all("thead tr:last-child th", table)[column];

  const tables = all("table.sortable").filter((table) => table.tBodies[0]?.rows.length > 1);
  tables.forEach((table) => {
    const choice = document.createElement("select");
    const sortBy = (column, falling) => {
      gather(table);
      sort(table, column, falling);
      choice.value = `${column}.${falling ? "d" : "a"}`;
      remember("sort", `${choice.value}.${table.dataset.name}`);
    };
    all("thead tr:last-child th", table).forEach((head, column) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "sorter";
      button.append(...head.childNodes);
      button.addEventListener("click", () => sortBy(column, head.getAttribute("aria-sort") === "ascending"));
      head.append(button);
      for (const way of ["a", "d"]) {
        choice.add(new Option(`${button.textContent} ${way === "a" ? "\u2191" : "\u2193"}`, `${column}.${way}`));
      }
    });
    // Where a narrow page has no heads to press, a list beside the table does the same.
    const label = document.createElement("label");
    label.className = "sort-by";
    label.append(document.body.dataset.sortBy + " ", choice);
    choice.selectedIndex = -1;
    choice.addEventListener("change", () => {
      const [column, way] = choice.value.split(".");
      sortBy(Number(column), way === "d");
    });
    table.before(label);
    table.sortBy = sortBy;
    table.choiceInstead = (clipped) => {
      if (label.dataset.clipped === String(clipped)) return;
      label.dataset.clipped = clipped;
      label.hidden = !clipped;
      all(".sorter", table).forEach((button) => { button.tabIndex = clipped ? -1 : 0; });
    };
  });
  // All is asked before anything is changed, so that the page is laid out once.
  const fit = () => tables.map((table) => getComputedStyle(table.tHead).position === "absolute")
    .forEach((clipped, number) => tables[number].choiceInstead(clipped));
  fit();
  let waiting = 0;
  addEventListener("resize", () => {
    cancelAnimationFrame(waiting);
    waiting = requestAnimationFrame(fit);
  });
  const [column, way, ...name] = (address.get("sort") ?? "").split(".");
  const wanted = tables.find((table) => table.dataset.name === name.join("."));
  if (wanted && headOf(wanted, column)) wanted.sortBy(Number(column), way === "d");

  const box = document.getElementById("filter");
  if (!box) return;
  const depot = document.getElementById("filter-depot");
  const status = document.getElementById("filter-status");
  const said = document.getElementById("filter-count");
  const parts = all("[data-depot], [data-status]").map((part) => [part, part.dataset.depot, part.dataset.status?.split(" "),
    part.matches(".filtered tr"), part.closest("details")]);
  const total = parts.filter(([, , , counts]) => counts).length;
  const opened = new Set();
  const written = (n) => String(n).replace(/\B(?=(\d{3})+$)/g, said.dataset.thousands);
  function filter() {
    const active = depot.value !== "*" || status.value !== "*";
    let shown = 0;
    const holding = new Set();
    for (const [part, itsDepot, statuses, counts, folded] of parts) {
      const fits = (depot.value === "*" || itsDepot === undefined || itsDepot === depot.value)
        && (status.value === "*" || !statuses || statuses.includes(status.value));
      if (part.hidden === fits) part.hidden = !fits;
      if (fits && counts) {
        shown += 1;
        if (folded) holding.add(folded);
      }
    }
    for (const list of opened) if (!active) { list.open = false; opened.delete(list); }
    if (active) for (const list of holding) if (!list.open) { list.open = true; opened.add(list); }
    const form = !active ? "all" : shown === 1 ? "one" : "many";
    said.textContent = said.dataset[form].replace("{n}", written(shown)).replace("{total}", written(total));
    box.classList.toggle("active", active);
    remember("depot", depot.value === "*" ? "" : depot.value || "-");
    remember("status", status.value === "*" ? "" : status.value);
  }
  const choose = (list, value) => { if ([...list.options].some((option) => option.value === value)) list.value = value; };
  const asked = address.get("depot");
  if (asked !== null) choose(depot, asked === "-" ? "" : asked);
  choose(status, address.get("status") ?? "*");
  depot.addEventListener("change", filter);
  status.addEventListener("change", filter);
  document.getElementById("filter-clear").addEventListener("click", () => {
    depot.value = status.value = "*";
    filter();
  });
  box.hidden = false;
  filter();
})();
