/* Dated rates. */
#include "store/rates.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/words.h"

#define RATES_COLUMNS                                                                              \
    "SELECT from_date::text AS code, from_date, hand_hour_micros, kwh_micros, "                    \
    "overhead_month_micros,"                                                                       \
    " overhead_by, coalesce(overhead_base, 0), round_micros, round_pieces, revision FROM rates"

STATEMENTS(rates_statements,
           {"rates_select", RATES_COLUMNS
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR from_date::text = $2)"
            " AND ($3::text IS NULL OR from_date::text > $3) ORDER BY from_date LIMIT $4"},
           {"rates_on", RATES_COLUMNS " WHERE bakery_id = $1 AND from_date <= $2"
                                      " ORDER BY from_date DESC LIMIT 1"},
           {"rates_put",
            "INSERT INTO rates (bakery_id, from_date, hand_hour_micros, kwh_micros,"
            " overhead_month_micros, overhead_by, overhead_base, round_micros, round_pieces)"
            " VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)"
            " ON CONFLICT (bakery_id, from_date) DO UPDATE SET"
            " hand_hour_micros = excluded.hand_hour_micros, kwh_micros = excluded.kwh_micros,"
            " overhead_month_micros = excluded.overhead_month_micros,"
            " overhead_by = excluded.overhead_by, overhead_base = excluded.overhead_base,"
            " round_micros = excluded.round_micros, round_pieces = excluded.round_pieces,"
            " revision = excluded.revision RETURNING revision"},
           {"rates_delete", "DELETE FROM rates WHERE bakery_id = $1 AND from_date::text = $2"});

const char *const overhead_bys[] = {"minutes", "pieces", NULL};

static struct money take_money(struct rows *rows)
{
    struct money money = {.known = !row_is_null(rows)};
    money.micros = row_whole(rows);
    return money;
}

static void take_entry(struct rows *rows, struct rates_entry *entry)
{
    struct rates *rates = &entry->rates;
    entry->code = row_text(rows);
    rates->known = true;
    rates->from = row_date(rows);
    rates->hand_hour = take_money(rows);
    rates->kwh = take_money(rows);
    rates->overhead_month = take_money(rows);
    rates->overhead_by = (enum overhead_by)word_index(overhead_bys, row_text(rows));
    rates->overhead_base = row_whole(rows);
    rates->round = take_money(rows);
    rates->round_pieces = row_whole(rows);
    entry->revision = row_whole(rows);
}

bool rates_select(struct tx *tx, const struct selection *selection, struct rates_entry **items,
                  size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "rates_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct rates_entry *entry = *items; entry != NULL && rows_next(&rows); entry++)
        take_entry(&rows, entry);
    return *items != NULL;
}

bool rates_on(struct tx *tx, date day, struct rates *rates)
{
    struct args args;
    struct rows rows;
    struct rates_entry entry = {0};
    args_init(&args, tx);
    args_date(&args, day);
    if (!tx_query(tx, "rates_on", &args, &rows)) return false;
    if (rows_next(&rows)) take_entry(&rows, &entry);
    *rates = entry.rates;
    return true;
}

static void add_money(struct args *args, struct money money)
{
    args_whole_or_null(args, money.micros, money.known);
}

bool rates_put(struct tx *tx, struct rates_entry *entry)
{
    const struct rates *rates = &entry->rates;
    struct args args;
    args_init(&args, tx);
    args_date(&args, rates->from);
    add_money(&args, rates->hand_hour);
    add_money(&args, rates->kwh);
    add_money(&args, rates->overhead_month);
    args_text(&args, overhead_bys[rates->overhead_by]);
    args_whole_or_null(&args, rates->overhead_base, rates->overhead_month.known);
    add_money(&args, rates->round);
    args_whole_or_null(&args, rates->round_pieces, rates->round.known);
    return tx_query_whole(tx, "rates_put", &args, &entry->revision);
}

bool rates_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "rates_delete", code);
}
