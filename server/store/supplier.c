/* Suppliers. */
#include "store/supplier.h"

#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"

STATEMENTS(supplier_statements,
           {"supplier_select",
            "SELECT code, name, note, revision FROM supplier"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"supplier_put",
            "INSERT INTO supplier (bakery_id, code, name, note)"
            " VALUES ($1, $2, $3, $4)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " note = excluded.note, revision = excluded.revision"
            " RETURNING revision"},
           {"supplier_delete", "DELETE FROM supplier WHERE bakery_id = $1 AND code = $2"});

bool supplier_select(struct tx *tx, const struct selection *selection, struct supplier **items,
                     size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "supplier_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct supplier *supplier = *items; supplier != NULL && rows_next(&rows); supplier++) {
        supplier->code = row_text(&rows);
        supplier->name = row_text(&rows);
        supplier->note = row_text(&rows);
        supplier->revision = row_whole(&rows);
    }
    return *items != NULL;
}

bool supplier_put(struct tx *tx, struct supplier *supplier)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, supplier->code);
    args_text(&args, supplier->name);
    args_text(&args, supplier->note);
    return tx_query_whole(tx, "supplier_put", &args, &supplier->revision);
}

bool supplier_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "supplier_delete", code);
}
