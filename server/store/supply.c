/* Supplies: what was entered, and what is in force where nothing was. */
#include "store/supply.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/selection.h"

STATEMENTS(supply_statements,
           {"supply_get",
            "SELECT supplier, coalesce(pack, 0), service_pct, place, revision"
            " FROM supply WHERE bakery_id = $1 AND ingredient = $2"},
           {"supply_put",
            "INSERT INTO supply (bakery_id, ingredient, supplier, pack, service_pct, place)"
            " VALUES ($1, $2, $3, $4, $5, $6)"
            " ON CONFLICT (bakery_id, ingredient) DO UPDATE SET supplier = excluded.supplier,"
            " pack = excluded.pack, service_pct = excluded.service_pct, place = excluded.place,"
            " revision = excluded.revision RETURNING revision"},
           {"supply_delete", "DELETE FROM supply WHERE bakery_id = $1 AND ingredient = $2"},
           {"supplies_load",
            "SELECT ingredient, coalesce(s.supplier, p.supplier),"
            " coalesce(s.pack, p.pack_mg, p.pack_pieces, 0), s.service_pct, s.place, s.revision"
            " FROM (SELECT * FROM supply WHERE bakery_id = $1) s"
            " FULL JOIN (SELECT DISTINCT ON (ingredient) ingredient, supplier, pack_mg, pack_pieces"
            " FROM ingredient_price WHERE bakery_id = $1 AND from_date <= $2"
            " ORDER BY ingredient, from_date DESC) p USING (ingredient)"
            " WHERE $3::text IS NULL OR ingredient = $3 ORDER BY ingredient"});

bool supply_get(struct tx *tx, const char *ingredient, struct supply *supply)
{
    struct args args;
    struct rows rows;
    *supply = (struct supply){.ingredient = ingredient};
    args_init(&args, tx);
    args_text(&args, ingredient);
    if (!tx_query(tx, "supply_get", &args, &rows)) return false;
    if (!rows_next(&rows)) return true;
    supply->supplier = row_text(&rows);
    supply->pack = row_whole(&rows);
    supply->service_pct = row_whole(&rows);
    supply->place = row_text(&rows);
    supply->revision = row_whole(&rows);
    return true;
}

bool supply_put(struct tx *tx, struct supply *supply)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, supply->ingredient);
    args_text(&args, supply->supplier);
    args_whole_or_null(&args, supply->pack, supply->pack > 0);
    args_whole(&args, supply->service_pct);
    args_text(&args, supply->place);
    return tx_query_whole(tx, "supply_put", &args, &supply->revision);
}

bool supply_delete(struct tx *tx, const char *ingredient)
{
    return tx_delete(tx, "supply_delete", ingredient);
}

static void take_supply(struct rows *rows, struct supply *supply)
{
    supply->supplier = row_text(rows);
    supply->pack = row_whole(rows);
    bool entered = !row_is_null(rows);
    int64_t service_pct = row_whole(rows);
    if (entered) supply->service_pct = service_pct;
    const char *place = row_text(rows);
    if (place != NULL) supply->place = place;
    supply->revision = row_whole(rows);
}

static bool ask_in_force(struct tx *tx, const char *ingredient, date day, struct rows *rows)
{
    struct args args;
    args_init(&args, tx);
    args_date(&args, day);
    args_text(&args, ingredient);
    return tx_query(tx, "supplies_load", &args, rows);
}

static struct supply supply_default(const char *ingredient)
{
    return (struct supply){
        .ingredient = ingredient, .service_pct = SERVICE_PCT_DEFAULT, .place = PLACE_DEFAULT};
}

bool supply_in_force(struct tx *tx, const char *ingredient, date day, struct supply *supply)
{
    struct rows rows;
    *supply = supply_default(ingredient);
    if (!ask_in_force(tx, ingredient, day, &rows)) return false;
    if (!rows_next(&rows)) return true;
    row_text(&rows);
    take_supply(&rows, supply);
    return true;
}

struct supply *supplies_load(struct tx *tx, const struct catalogue *catalogue, date day)
{
    struct rows rows;
    size_t count = catalogue->ingredient_count;
    struct supply *supplies = arena_array(tx->arena, count, sizeof *supplies);
    if (supplies == NULL) {
        fail_memory(tx->fails);
        return NULL;
    }
    for (size_t i = 0; i < count; i++)
        supplies[i] = supply_default(catalogue->ingredients[i].code);
    if (!ask_in_force(tx, NULL, day, &rows)) return NULL;
    for (size_t at = 0; rows_next(&rows);)
        if (selection_owner(supplies, sizeof *supplies, count, &at, row_text(&rows)))
            take_supply(&rows, &supplies[at]);
    return supplies;
}
