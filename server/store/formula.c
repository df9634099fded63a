/* Formulas, their lines and their stages. */
#include "store/formula.h"

#include "base/arena.h"
#include "base/fail.h"
#include "db/db.h"
#include "db/statement.h"
#include "store/rows.h"
#include "store/words.h"

STATEMENTS(formula_statements,
           {"formula_select",
            "SELECT code, name, basis, handling_loss_pct, dough_c, mixer, by_hand, note,"
            " revision,"
            " (SELECT count(*) FROM formula_line l WHERE l.bakery_id = f.bakery_id"
            " AND l.formula = f.code),"
            " (SELECT count(*) FROM formula_stage s WHERE s.bakery_id = f.bakery_id"
            " AND s.formula = f.code) FROM formula f"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR code = $2)"
            " AND ($3::text IS NULL OR code > $3) ORDER BY code LIMIT $4"},
           {"formula_lines",
            "SELECT formula, ingredient, starter, part, pct, flour_pct FROM formula_line"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR formula = $2)"
            " AND ($3::text IS NULL OR formula > $3) ORDER BY formula, position"},
           {"formula_stages",
            "SELECT formula, stage, minutes, at, hands, uses, most_minutes, labour_per,"
            " labour_minutes FROM formula_stage"
            " WHERE bakery_id = $1 AND ($2::text IS NULL OR formula = $2)"
            " AND ($3::text IS NULL OR formula > $3) ORDER BY formula, position"},
           {"formula_put",
            "INSERT INTO formula (bakery_id, code, name, basis, handling_loss_pct, dough_c,"
            " mixer, by_hand, note) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)"
            " ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name,"
            " basis = excluded.basis, handling_loss_pct = excluded.handling_loss_pct,"
            " dough_c = excluded.dough_c, mixer = excluded.mixer,"
            " by_hand = excluded.by_hand, note = excluded.note,"
            " revision = excluded.revision RETURNING revision"},
           {"formula_lines_clear",
            "DELETE FROM formula_line WHERE bakery_id = $1 AND formula = $2"},
           {"formula_lines_add",
            "INSERT INTO formula_line (bakery_id, formula, position, ingredient,"
            " starter, part, pct, flour_pct)"
            " SELECT $1, $2, n, ingredient, starter, part, pct, flour_pct"
            " FROM unnest($3::text[], $4::text[], $5::text[], $6::bigint[],"
            " $7::bigint[]) WITH ORDINALITY"
            " AS line (ingredient, starter, part, pct, flour_pct, n)"},
           {"formula_stages_clear",
            "DELETE FROM formula_stage WHERE bakery_id = $1 AND formula = $2"},
           {"formula_stages_add",
            "INSERT INTO formula_stage (bakery_id, formula, position, stage,"
            " minutes, at, hands, uses, most_minutes, labour_per, labour_minutes)"
            " SELECT $1, $2, n, stage, minutes, place, hands, uses, most, per, labour"
            " FROM unnest($3::text[], $4::bigint[], $5::text[], $6::integer[],"
            " $7::text[], $8::bigint[], $9::text[], $10::bigint[]) WITH ORDINALITY"
            " AS line (stage, minutes, place, hands, uses, most, per, labour, n)"},
           {"formula_delete", "DELETE FROM formula WHERE bakery_id = $1 AND code = $2"});

const char *const formula_bases[] = {"final", "total", NULL};
const char *const stage_uses[] = {"mixer", "oven", "cold", NULL};

/* NULL and the words to enum stage_use and back. */
static enum stage_use use_of(const char *word)
{
    return word == NULL ? USES_NOTHING
                        : (enum stage_use)(USES_MIXER + word_index(stage_uses, word));
}

static const char *word_of(enum stage_use use)
{
    return use == USES_NOTHING ? NULL : stage_uses[use - USES_MIXER];
}

const char *const labour_pers[] = {"mix", "batch", "piece", "load", NULL};

static enum labour_per labour_of(const char *word)
{
    return word == NULL ? LABOUR_USUAL
                        : (enum labour_per)(LABOUR_PER_MIX + word_index(labour_pers, word));
}

static const char *labour_word(enum labour_per per)
{
    return per == LABOUR_USUAL ? NULL : labour_pers[per - LABOUR_PER_MIX];
}

static bool take_formula(struct tx *tx, struct rows *rows, struct formula *formula)
{
    formula->code = row_text(rows);
    formula->name = row_text(rows);
    formula->basis = (enum basis)word_index(formula_bases, row_text(rows));
    formula->handling_loss_pct = row_whole(rows);
    formula->has_dough_c = !row_is_null(rows);
    formula->dough_c = row_whole(rows);
    formula->mixer = row_text(rows);
    formula->by_hand = row_bool(rows);
    formula->note = row_text(rows);
    formula->revision = row_whole(rows);
    formula->lines = arena_array(tx->arena, (size_t)row_whole(rows), sizeof *formula->lines);
    formula->stages = arena_array(tx->arena, (size_t)row_whole(rows), sizeof *formula->stages);
    return (formula->lines != NULL && formula->stages != NULL) || fail_memory(tx->fails);
}

static void take_line(struct rows *rows, struct line *line)
{
    line->code = row_thing(rows, &line->kind);
    line->flour_share = row_is_null(rows);
    int64_t pct = row_whole(rows);
    int64_t flour_pct = row_whole(rows);
    line->pct = line->flour_share ? flour_pct : pct;
}

static bool attach_lines(struct tx *tx, const struct selection *selection, struct formula *items,
                         size_t count)
{
    struct args args;
    struct rows rows;
    selection_child_args(&args, tx, selection);
    if (!tx_query(tx, "formula_lines", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);)
        if (selection_owner(items, sizeof *items, count, &at, row_text(&rows)))
            take_line(&rows, &items[at].lines[items[at].line_count++]);
    return true;
}

static bool attach_stages(struct tx *tx, const struct selection *selection, struct formula *items,
                          size_t count)
{
    struct args args;
    struct rows rows;
    selection_child_args(&args, tx, selection);
    if (!tx_query(tx, "formula_stages", &args, &rows)) return false;
    for (size_t at = 0; rows_next(&rows);) {
        if (!selection_owner(items, sizeof *items, count, &at, row_text(&rows))) continue;
        struct stage *stage = &items[at].stages[items[at].stage_count++];
        stage->name = row_text(&rows);
        stage->minutes = row_whole(&rows);
        stage->at = row_text(&rows);
        stage->hands = row_whole(&rows);
        stage->uses = use_of(row_text(&rows));
        stage->most_minutes = row_whole(&rows);
        stage->labour_per = labour_of(row_text(&rows));
        stage->labour_minutes = row_whole(&rows);
    }
    return true;
}

bool formula_select(struct tx *tx, const struct selection *selection, struct formula **items,
                    size_t *count)
{
    struct args args;
    struct rows rows;
    selection_args(&args, tx, selection);
    if (!tx_query(tx, "formula_select", &args, &rows)) return false;
    *items = rows_room(tx, &rows, sizeof **items, count);
    for (struct formula *item = *items; item != NULL && rows_next(&rows); item++)
        if (!take_formula(tx, &rows, item)) return false;
    return *items != NULL && attach_lines(tx, selection, *items, *count) &&
           attach_stages(tx, selection, *items, *count);
}

static bool put_lines(struct tx *tx, const struct formula *formula)
{
    enum { NAMES = 3, PCTS = 2 };
    const char **names[NAMES];
    int64_t *pcts[PCTS];
    for (int i = 0; i < NAMES; i++)
        names[i] = arena_array(tx->arena, formula->line_count, sizeof *names[i]);
    for (int i = 0; i < PCTS; i++)
        pcts[i] = arena_array(tx->arena, formula->line_count, sizeof *pcts[i]);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < formula->line_count; i++) {
        const struct line *line = &formula->lines[i];
        names[line->kind][i] = line->code;
        pcts[0][i] = line->flour_share ? INT64_MIN : line->pct;
        pcts[1][i] = line->flour_share ? line->pct : INT64_MIN;
    }
    struct args args;
    args_init(&args, tx);
    args_text(&args, formula->code);
    for (int i = 0; i < NAMES; i++)
        args_texts(&args, names[i], formula->line_count);
    for (int i = 0; i < PCTS; i++)
        args_wholes(&args, pcts[i], formula->line_count);
    return tx_execute(tx, "formula_lines_add", &args, NULL);
}

/* What a stage uses and its labour: columns of their own. */
static bool add_uses(struct tx *tx, const struct formula *formula, struct args *args)
{
    size_t count = formula->stage_count;
    const char **uses = arena_array(tx->arena, count, sizeof *uses);
    int64_t *most = arena_array(tx->arena, count, sizeof *most);
    const char **pers = arena_array(tx->arena, count, sizeof *pers);
    int64_t *labour = arena_array(tx->arena, count, sizeof *labour);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        const struct stage *stage = &formula->stages[i];
        uses[i] = word_of(stage->uses);
        most[i] = stage->most_minutes > 0 ? stage->most_minutes : INT64_MIN;
        pers[i] = labour_word(stage->labour_per);
        labour[i] = stage->labour_per == LABOUR_USUAL ? INT64_MIN : stage->labour_minutes;
    }
    args_texts(args, uses, count);
    args_wholes(args, most, count);
    args_texts(args, pers, count);
    args_wholes(args, labour, count);
    return true;
}

static bool put_stages(struct tx *tx, const struct formula *formula)
{
    size_t count = formula->stage_count;
    const char **names = arena_array(tx->arena, count, sizeof *names);
    const char **places = arena_array(tx->arena, count, sizeof *places);
    int64_t *minutes = arena_array(tx->arena, count, sizeof *minutes);
    int64_t *hands = arena_array(tx->arena, count, sizeof *hands);
    if (arena_failed(tx->arena)) return fail_memory(tx->fails);
    for (size_t i = 0; i < count; i++) {
        names[i] = formula->stages[i].name;
        minutes[i] = formula->stages[i].minutes;
        places[i] = formula->stages[i].at;
        hands[i] = formula->stages[i].hands;
    }
    struct args args;
    args_init(&args, tx);
    args_text(&args, formula->code);
    args_texts(&args, names, count);
    args_wholes(&args, minutes, count);
    args_texts(&args, places, count);
    args_wholes(&args, hands, count);
    return add_uses(tx, formula, &args) && tx_execute(tx, "formula_stages_add", &args, NULL);
}

bool formula_put(struct tx *tx, struct formula *formula)
{
    struct args args;
    args_init(&args, tx);
    args_text(&args, formula->code);
    args_text(&args, formula->name);
    args_text(&args, formula_bases[formula->basis]);
    args_whole(&args, formula->handling_loss_pct);
    args_whole_or_null(&args, formula->dough_c, formula->has_dough_c);
    args_text(&args, formula->mixer);
    args_bool(&args, formula->by_hand);
    args_text(&args, formula->note);
    return tx_query_whole(tx, "formula_put", &args, &formula->revision) &&
           tx_delete(tx, "formula_lines_clear", formula->code) && put_lines(tx, formula) &&
           tx_delete(tx, "formula_stages_clear", formula->code) && put_stages(tx, formula);
}

bool formula_delete(struct tx *tx, const char *code)
{
    return tx_delete(tx, "formula_delete", code);
}
