/* Lots. */
#include "store/lot.h"

#include "bakery/stock.h"
#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(
    lot_statements,
    {"lot_add",
     "INSERT INTO lot (bakery_id, ingredient, posting, supplier, received_on, received, pack,"
     " price_micros, lot_mark, best_before, c, damage)"
     " VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12) RETURNING number, revision"},
    {"lot_select",
     "SELECT l.number, l.ingredient, l.posting, l.supplier, s.name, p.delivery_note,"
     " l.received_on, l.received, coalesce(w.amount, 0), l.pack, l.price_micros, l.lot_mark,"
     " l.best_before, l.c, l.damage, l.held, l.note, l.revision FROM lot l"
     " JOIN posting p ON p.bakery_id = $1 AND p.number = l.posting"
     " LEFT JOIN supplier s ON s.bakery_id = $1 AND s.code = l.supplier"
     " LEFT JOIN LATERAL (SELECT sum(amount)::bigint AS amount FROM lot_place w"
     " WHERE w.bakery_id = $1 AND w.lot = l.number AND w.amount > 0) AS w ON true"
     " WHERE l.bakery_id = $1 AND ($2 = 0 OR l.number = $2) AND ($3::bigint[] IS NULL OR l.posting "
     "= ANY ($3))"
     " AND ($4 = 0 OR l.number < $4) AND ($5::text IS NULL OR l.ingredient = $5)"
     " AND ($6::text IS NULL OR l.supplier = $6) AND ($7::text IS NULL OR l.lot_mark = $7)"
     " AND (NOT $8 OR w.amount > 0) AND ($9::date IS NULL OR (l.received_on <= $9 AND NOT EXISTS"
     " (SELECT FROM posting r WHERE r.bakery_id = $1 AND r.reverses = l.posting)))"
     " ORDER BY l.number DESC LIMIT nullif($10::bigint, 0)"},
    {"lot_places",
     "SELECT lot, place, amount FROM lot_place WHERE bakery_id = $1"
     " AND lot = ANY ($2::bigint[]) AND amount > 0 ORDER BY lot DESC, place"},
    {"lot_change",
     "UPDATE lot SET lot_mark = $3, best_before = $4, held = $5, note = $6, price_micros = $7,"
     " revision = nextval('revision_number') WHERE bakery_id = $1 AND number = $2"
     " RETURNING revision"});

bool lot_add(struct tx *tx, struct lot *lot)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_text(&args, lot->ingredient);
    args_whole(&args, lot->posting);
    args_text(&args, lot->supplier);
    args_date(&args, lot->received_on);
    args_whole(&args, lot->received);
    args_whole_or_null(&args, lot->pack, lot->pack > 0);
    args_whole_or_null(&args, lot->price.micros, lot->price.known);
    args_text(&args, lot->lot_mark);
    args_date_or_null(&args, lot->best_before, lot->has_best_before);
    args_whole_or_null(&args, lot->temperature.c, lot->temperature.known);
    args_text(&args, lot->damage);
    if (!tx_query(tx, "lot_add", &args, &rows)) return false;
    if (rows_next(&rows)) {
        lot->number = row_whole(&rows);
        lot->revision = row_whole(&rows);
    }
    return true;
}

static void take_lot(struct rows *rows, struct lot *lot)
{
    lot->number = row_whole(rows);
    lot->ingredient = row_text(rows);
    lot->posting = row_whole(rows);
    lot->supplier = row_text(rows);
    lot->supplier_name = row_text(rows);
    lot->delivery_note = row_text(rows);
    lot->received_on = row_date(rows);
    lot->received = row_whole(rows);
    lot->left = row_whole(rows);
    lot->pack = row_whole(rows);
    lot->price.known = !row_is_null(rows);
    lot->price.micros = row_whole(rows);
    lot->lot_mark = row_text(rows);
    lot->has_best_before = !row_is_null(rows);
    lot->best_before = row_date(rows);
    lot->temperature.known = !row_is_null(rows);
    lot->temperature.c = row_whole(rows);
    lot->damage = row_text(rows);
    lot->held = row_bool(rows);
    lot->note = row_text(rows);
    lot->revision = row_whole(rows);
}

static struct shelf shelf_of(const struct lot *lot)
{
    return (struct shelf){.lot = lot->number,
                          .has_best_before = lot->has_best_before,
                          .best_before = lot->best_before,
                          .place = ""};
}

int lot_order(const struct lot *a, const struct lot *b, date day)
{
    struct shelf first = shelf_of(a), second = shelf_of(b);
    return shelf_order(&first, &second, day);
}

/* Both come by falling number; a lot may have no places. */
static void take_places(struct rows *rows, struct lot *lots, size_t count, struct lot_place *places)
{
    for (size_t i = 0; rows_next(rows); places++) {
        int64_t number = row_whole(rows);
        while (i < count && lots[i].number != number)
            i++;
        if (i == count) return;
        if (lots[i].place_count++ == 0) lots[i].places = places;
        places->place = row_text(rows);
        places->amount = row_whole(rows);
    }
}

static bool load_places(struct tx *tx, struct lot *lots, size_t count)
{
    struct args args;
    struct rows rows;
    size_t place_count;
    int64_t *numbers = arena_array(tx->arena, count, sizeof *numbers);
    if (numbers == NULL) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++)
        numbers[i] = lots[i].number;
    args_init(&args, tx);
    args_wholes(&args, numbers, count);
    if (!tx_query(tx, "lot_places", &args, &rows)) return false;
    struct lot_place *places = rows_room(tx, &rows, sizeof *places, &place_count);
    if (places == NULL) return false;
    take_places(&rows, lots, count, places);
    return true;
}

bool lot_select(struct tx *tx, const struct lot_filter *filter, struct lot **items, size_t *count)
{
    struct args args;
    struct rows rows;
    args_init(&args, tx);
    args_whole(&args, filter->number);
    if (filter->postings != NULL)
        args_wholes(&args, filter->postings, filter->posting_count);
    else
        args_text(&args, NULL);
    args_whole(&args, filter->before);
    args_text(&args, filter->ingredient);
    args_text(&args, filter->supplier);
    args_text(&args, filter->lot_mark);
    args_bool(&args, filter->left);
    args_date_or_null(&args, filter->by, filter->standing);
    args_whole(&args, filter->limit);
    if (!tx_query(tx, "lot_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct lot *lot = *items; lot != NULL && rows_next(&rows); lot++)
        take_lot(&rows, lot);
    return *items != NULL && load_places(tx, *items, *count);
}

bool lot_change(struct tx *tx, struct lot *lot)
{
    struct args args;
    args_init(&args, tx);
    args_whole(&args, lot->number);
    args_text(&args, lot->lot_mark);
    args_date_or_null(&args, lot->best_before, lot->has_best_before);
    args_bool(&args, lot->held);
    args_text(&args, lot->note);
    args_whole_or_null(&args, lot->price.micros, lot->price.known);
    return tx_query_whole(tx, "lot_change", &args, &lot->revision);
}
