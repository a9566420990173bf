"""The week in an embedded analytics database, as SQL over the file of tickets.

    python analytics.py DIRECTORY        prints what each payee has coming, in cents

Whole numbers throughout: thousandths of an inch, a foot and a degree; board feet; cents.
"""

import json
import pathlib
import sys

import duckdb

# No compiled files beside the sources.
sys.dont_write_bytecode = True

from facts import STEPS, Contracts, scribner_decimal_c

# What the files and the contracts say, as tables.
READ = """
create macro thousandths(text) as cast(1000 * cast(coalesce(text, '0') as decimal(12, 3)) as bigint);

create table ticket as
select row_number() over () as ticket, job_id, scaled_on, delivered_to, work, pieces,
       thousandths(turn.skid_distance_ft) as skid, thousandths(turn.haul_distance_mi) as haul
from read_json($tickets, format = 'newline_delimited', columns = {
    job_id: 'varchar', scaled_on: 'varchar', delivered_to: 'varchar',
    work: 'struct(task varchar, crew_id varchar)[]', turn: 'struct(skid_distance_ft varchar, haul_distance_mi varchar)',
    pieces: 'struct(species varchar, small_diameter_in varchar[], length_ft varchar, length_in varchar,
                    defects struct("method" varchar, width_in varchar, height_in varchar, length_ft varchar,
                                   angle_degrees varchar)[])[]'})
where scaled_on between $begins and $ends;

create table work as
select ticket, done.task as task, done.crew_id as party from (select ticket, unnest(work) as done from ticket)
union all
select ticket, 'delivery', delivered_to from ticket where delivered_to is not null;

create table log as
select row_number() over () as log, ticket, piece.species as species, piece.defects as defects,
       len(piece.small_diameter_in) as readings,
       thousandths(piece.small_diameter_in[1]) + thousandths(piece.small_diameter_in[2]) as readings_sum,
       12 * thousandths(piece.length_ft) + thousandths(piece.length_in) as length
from (select ticket, unnest(pieces) as piece from ticket);

create table defect as
select log, found."method" as method, thousandths(found.width_in) as width, thousandths(found.height_in) as height,
       thousandths(found.length_ft) as run, thousandths(found.angle_degrees) as angle
from (select log, unnest(defects) as found from log);
"""

# Every log by every practice: one reading to the nearest inch with a half up, of the mean of two a half dropped; trim off, and
# down to even feet. From gross comes one sum of losses over one denominator (360 × length × a thousand for each of three
# sizes), rounded once to the rule's step.
SCALE = """
create table measured as
select log, ticket, species, rule, trim, step,
       case readings when 1 then (readings_sum + 500) // 1000 else (readings_sum + 999) // 2000 end as inches,
       (length - trim) // 24000 * 2 as feet
from log cross join practice;

create table gross as
select measured.*, case rule when 'doyle' then ((inches - 4) * (inches - 4) * feet + 8) // 16 else cell.board_feet end as gross
from measured left join cell using (inches, feet);

create table scaled as
with cut as (
    select log, rule, trim,
           least(sum(case method when 'length_cut' then least(run, 1000 * feet) else 0 end), 1000 * any_value(feet)) as cut
    from defect join gross using (log) group by all
), lost as (
    select log, rule, trim, any_value(gross) as gross, any_value(step) as step, any_value(feet) as feet,
           any_value(gross * cut * 360000000)
           + sum(case method
                 when 'squared' then width * height * least(run, 1000 * feet - cut) * 24 * feet
                 when 'pie_cut' then gross * least(run, 1000 * feet - cut) * angle * 1000
                 else 0 end) as lost
    from defect join gross using (log) join cut using (log, rule, trim) group by all
), deduction as (
    select log, rule, trim,
           least(gross, step * ((2 * lost + step * feet * 360000000000) // (2 * step * feet * 360000000000))) as deduction
    from lost
)
select gross.*, gross - coalesce(deduction, 0) as net, 3 * (gross - coalesce(deduction, 0)) < gross as cull
from gross left join deduction using (log, rule, trim);
"""

# What each rate counts, then its price, rounded once, divided by largest remainder with ties by place in the share set.
PAY = """
create table done as
select rate.line, rate.party, rate.rule, rate.trim, unit, basis, pays_cull,
       diameter_from, diameter_below, length_from, length_below, species, ticket.ticket, scaled_on
from rate
join work using (task, party)
join ticket on ticket.ticket = work.ticket and job_id = job and scaled_on >= since and scaled_on < until
           and skid >= skid_from and skid < skid_below and haul >= haul_from and haul < haul_below;

create table counted as
select line, party, scaled_on, sum(quantity) as quantity
from (
    select line, party, scaled_on, case when unit = 'piece' then 1 when basis = 'net' then net else gross end as quantity
    from done
    join scaled on scaled.ticket = done.ticket and scaled.rule = done.rule and scaled.trim = done.trim
               and 1000 * inches >= diameter_from and 1000 * inches < diameter_below
               and 1000 * feet >= length_from and 1000 * feet < length_below
               and (len(done.species) = 0 or list_contains(done.species, scaled.species))
    where unit <> 'turn' and (pays_cull or not cull)
    union all
    select line, party, scaled_on, 1 from done where unit = 'turn')
group by all;

create table line as
select line, share_set, (2 * sum(quantity) * price + 10000 * per) // (20000 * per) as cents
from counted join rate using (line, party)
join (select distinct party, share_set, since, until from share) as set
  on set.party = counted.party and scaled_on >= set.since and scaled_on < set.until
group by line, share_set, price, per;

create table part as
with quota as (
    select line, share_set, place, worker, cents,
           cents * parts // sum(parts) over each as whole, cents * parts % sum(parts) over each as remainder
    from line join share using (share_set)
    window each as (partition by line, share_set)
)
select worker, whole + cast(row_number() over largest <= cents - sum(whole) over each as integer) as cents
from quota
window each as (partition by line, share_set),
       largest as (partition by line, share_set order by remainder desc, place);
"""


def main():
    directory = sys.argv[1]
    contracts = Contracts(directory)
    books = duckdb.connect()
    tickets = str(pathlib.Path(directory) / "tickets.ndjson")
    tell(books, contracts)
    run(books, READ, {"tickets": tickets, "begins": contracts.begins, "ends": contracts.ends})
    run(books, SCALE)
    if books.execute("select log from scaled where gross is null limit 1").fetchall():
        sys.exit("a log is not in the table")
    run(books, PAY)
    payees = books.execute("select worker, cast(sum(cents) as bigint) from part group by worker").fetchall()
    print(json.dumps(dict(payees)))


def run(books, script, parameters=None):
    """Runs each statement of a script with the parameters that it names."""
    for statement in duckdb.extract_statements(script):
        named = {name: (parameters or {})[name] for name in statement.named_parameters}
        books.execute(statement, named)


def tell(books, contracts):
    """The contracts as tables: rates, practices, shares (a mill has all of its line) and the table of a rule."""
    books.execute(
        "create table rate (line varchar, job varchar, party varchar, since varchar, until varchar, rule varchar, "
        "trim bigint, task varchar, unit varchar, basis varchar, pays_cull boolean, diameter_from bigint, diameter_below bigint, "
        "length_from bigint, length_below bigint, skid_from bigint, skid_below bigint, haul_from bigint, haul_below bigint, "
        "species varchar[], price hugeint, per bigint)"
    )
    books.execute("create table practice (rule varchar, trim bigint, step bigint)")
    books.execute(
        "create table share (share_set varchar, party varchar, since varchar, until varchar, place integer, worker varchar, "
        "parts hugeint)"
    )
    books.execute("create table cell (inches bigint, feet bigint, board_feet bigint)")
    alone = ["line", "job", "party", "since", "until", "rule", "trim", "task", "unit", "basis", "pays_cull"]
    for rate in contracts.rates:
        row = [rate[name] for name in alone] + [*rate["diameter"], *rate["length"], *rate["skid"], *rate["haul"]]
        row += [rate["species"], rate["price_millionths"], rate["per"]]
        books.execute(f"insert into rate values ({', '.join('?' * len(row))})", row)
    scaling = {(rate["rule"], rate["trim"]) for rate in contracts.rates if rate["unit"] != "turn"}
    books.executemany("insert into practice values (?, ?, ?)", [[*by, STEPS[by[0]]] for by in scaling])
    books.executemany("insert into share values (?, ?, ?, ?, ?, ?, ?)", [list(share.values()) for share in contracts.shares])
    mills = {rate["party"] for rate in contracts.rates if rate["is_mill"]}
    books.executemany("insert into share values (?, ?, '', '9999-12-31', 0, ?, 1)", [[mill] * 3 for mill in mills])
    cells = [f"({inches}, {feet}, {board_feet})" for (inches, feet), board_feet in scribner_decimal_c().items()]
    books.execute(f"insert into cell values {', '.join(cells)}")


if __name__ == "__main__":
    main()
