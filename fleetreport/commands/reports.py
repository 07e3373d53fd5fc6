"""The reports of a week, how good their dates are, and sending them."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fleetreport.commands import log
from fleetreport.commands.terminal import counted, parse_day, progress, say, say_sentence
from fleetreport.problem import CannotReadOrWrite, WrongCall

if TYPE_CHECKING:
    from fleetreport.week import Week

Tell = Callable[[str, float], None]


def week(
    fleet: Annotated[
        str,
        typer.Argument(
            help="The fleet folder: vehicles.csv, tasks.csv, readings … With --cluster also shards of one.",
            metavar="FLEET",
        ),
    ],
    as_of: Annotated[
        str,
        typer.Option(help="The day the report is for, such as 2026-11-25; nothing later is used. Default: today."),
    ] = "",
    out: Annotated[Path, typer.Option(help="Where the reports go.")] = Path("out"),
    store: Annotated[
        Path | None,
        typer.Option(help="The database file. Default: .fleetreport/store.duckdb in the fleet folder."),
    ] = None,
    parquet: Annotated[bool, typer.Option("--parquet", help="Also write the tables as Parquet.")] = False,
    cluster: Annotated[
        str,
        typer.Option(
            metavar="ADDRESS",
            help="Work on Dask's workers: a scheduler's address, or local:4 for four of this machine.",
        ),
    ] = "",
) -> None:
    """Write the week's reports: what is due and overdue, and why.

    \b
    Examples:
      fleetreport week sample_fleet --as-of 2026-11-25 --out out
      fleetreport week /srv/fleet --out /srv/reports --parquet
      fleetreport week /srv/shards --cluster tcp://10.0.0.5:8786

    Exit codes: 0 the reports are written, 2 the call or a setting is wrong, 3 an input or output could not be read
    or written.
    """
    day = parse_day(as_of) if as_of else None
    with progress() as tell:
        done = _made(fleet, day, out, store, parquet, cluster, tell)
    for note in done.notes:
        log.note(note)
    log.counts(**{name: value for name, value in done._asdict().items() if name != "notes"}, notes=len(done.notes))
    say_sentence(
        f"{done.as_of}: {counted(done.vehicles, 'vehicle')} in service; "
        f"{counted(done.overdue, 'task')} overdue, {done.due} due, {done.not_judged} not judged; "
        f"{counted(done.set_aside, 'thing')} of the input set aside"
    )
    say(f"written: {out / 'week.html'}, {out / 'order.html'}, {out / 'week.xlsx'}, {out / 'data'}")


def _made(
    fleet: str, day: date | None, out: Path, store: Path | None, parquet: bool, cluster: str, tell: Tell
) -> "Week":
    if cluster:
        from fleetreport.cluster.week_in_shards import make_week_on_cluster

        return make_week_on_cluster(fleet, cluster, day, out, store, parquet, tell)
    if "://" in fleet or (Path(fleet) / "shards.json").is_file():
        raise WrongCall(f"{fleet}: found shards, expected a fleet folder", help="--cluster local:2 reads shards")
    from fleetreport.week import make_week

    return make_week(Path(fleet), day, out, store, parquet, tell)


def shard(
    fleet: Annotated[Path, typer.Argument(help="The fleet folder.", metavar="FLEET")],
    out: Annotated[str, typer.Option(metavar="DIR_OR_URL", help="Where the shards go: a folder, or such as s3://…")],
    shards: Annotated[int, typer.Option(min=1, max=10_000, help="How many, each with its share of the vehicles.")],
    store: Annotated[
        Path | None,
        typer.Option(help="The database file. Default: .fleetreport/store.duckdb in the fleet folder."),
    ] = None,
) -> None:
    """Split a fleet's tables into shards of its vehicles, for week --cluster. Every row goes along, refused ones too.

    \b
    Examples:
      fleetreport shard sample_fleet --out shards --shards 3
      fleetreport shard /srv/fleet --out s3://bucket/fleet --shards 500

    Exit codes: 0 the shards are written, 2 the call or a setting is wrong, 3 an input or output could not be read or
    written.
    """
    from fleetreport.cluster.shards import write_shards

    with progress() as tell:
        made, notes = write_shards(fleet, out, shards, store, tell)
    for note in [*notes, *made.remarks]:
        log.note(note)
    rows = made.accounts
    log.counts(shards=made.number, **rows._asdict())
    say_sentence(
        f"{counted(rows.read, 'row')} in {counted(made.number, 'shard')}: {rows.loaded} loaded, "
        f"{rows.repeated} repeated, {rows.set_aside} set aside; each knows its file and line"
    )
    say(f"written: {out.rstrip('/')}/shards.json")


def backtest(
    fleet: Annotated[Path, typer.Argument(help="The fleet folder.", metavar="FLEET")],
    as_of: Annotated[
        str, typer.Option(help="The last day of which readings are used, such as 2026-11-25. Default: today.")
    ] = "",
    out: Annotated[Path, typer.Option(help="Where the result goes.")] = Path("out"),
    every: Annotated[
        int, typer.Option(min=1, max=120, metavar="MONTHS", help="Look at each meter every so many months.")
    ] = 3,
    history: Annotated[
        int, typer.Option(min=1, max=120, metavar="MONTHS", help="Months of readings before the first look.")
    ] = 12,
    every_days: Annotated[
        int | None,
        typer.Option(min=1, max=366, metavar="DAYS", help="Look every so many days instead: for meters read daily."),
    ] = None,
    store: Annotated[
        Path | None,
        typer.Option(help="The database file. Default: .fleetreport/backtest.duckdb in the fleet folder."),
    ] = None,
) -> None:
    """Replay past days and judge the projections made on them by what came after.

    \b
    Examples:
      fleetreport backtest sample_fleet --as-of 2026-11-25 --out out
      fleetreport backtest /srv/fleet --every 1 --history 6

    Exit codes: 0 the result is written, 2 the call or a setting is wrong, 3 an input or output could not be read or
    written, or the readings do not reach back far enough.
    """
    from fleetreport.trials.backtest import Looks, make_backtest

    day = parse_day(as_of) if as_of else None
    with progress() as tell:
        done = make_backtest(fleet, day, out, store, Looks(every, history, every_days), tell)
    for note in done.notes:
        log.note(note)
    say_sentence(f"{counted(done.days, 'past day')} replayed, {done.first_day} to {done.last_day}; error ratios:")
    for line in done.lines():
        say(line)
    say(f"written: {out / 'backtest.html'}, {out / 'data' / 'backtest.csv'}")


def send(
    out: Annotated[Path, typer.Argument(help="The folder a week was written into.", metavar="OUT")],
    fleet: Annotated[
        Path, typer.Option(help="The fleet folder: its fleet.toml names the recipients and the server.")
    ] = Path(),
    really: Annotated[bool, typer.Option("--really", help="Send. Without this, only say what would be sent.")] = False,
) -> None:
    """Send the week's letters to the people named in fleet.toml, each once. Without --really nothing is sent.

    \b
    Examples:
      fleetreport send out --fleet sample_fleet
      fleetreport send /srv/reports --fleet /srv/fleet --really

    Exit codes: 0 all is sent (or would be), 2 the call or a setting is wrong, 3 a message could not be read or was not
    accepted; run it again to try those once more.
    """
    from fleetreport.letters.send import letters_in, plan_of, send_all
    from fleetreport.placing import finish_placing
    from fleetreport.settings.fleet_toml import read_settings

    settings = read_settings(fleet)
    finish_placing(out)
    sent_log = fleet / ".fleetreport" / "sent.tsv"
    plan = plan_of(letters_in(out), settings, sent_log)
    for one in plan.not_named:
        log.note(f"{one.name}: {one.recipient} is not named under [mail] in fleet.toml: nothing sent")
    for one in plan.sent_before:
        say(f"{one.name}: {one.recipient}: sent before")
    if not really:
        log.counts(would_be_sent=len(plan.to_send), sent_before=len(plan.sent_before))
        for one in plan.to_send:
            say(f"{one.name}: {one.recipient}: would be sent: {one.message['Subject']}")
        say(f"nothing was sent; {counted(len(plan.to_send), 'message')} would be with --really")
        return
    outcome = send_all(plan.to_send, settings, sent_log)
    log.counts(sent=len(outcome.sent), refused=len(outcome.refused), sent_before=len(plan.sent_before))
    for one in outcome.sent:
        say(f"{one.name}: {one.recipient}: sent")
    if outcome.refused:
        raise CannotReadOrWrite(
            *(f"{one.name}: {one.recipient}: not accepted: {why}" for one, why in outcome.refused),
            help="what was accepted is not sent again: mend the cause and run this again",
        )
