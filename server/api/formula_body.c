/* Formulas on the wire. */
#include "api/formula_body.h"

#include "api/limits.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "base/fail.h"
#include "store/formula.h"

enum { STAGE_NAME_MAX = 80, TEMPERATURE_MIN = -500000, TEMPERATURE_MAX = 2000000 };

const char *const line_words[] = {
    [LINE_INGREDIENT] = "ingredient", [LINE_STARTER] = "starter", [LINE_FORMULA] = "formula"};

const char *line_name(const struct catalogue *catalogue, enum line_kind kind, size_t index)
{
    switch (kind) {
    case LINE_STARTER:
        return catalogue->starters[index].name;
    case LINE_FORMULA:
        return catalogue->formulas[index].name;
    default:
        return catalogue->ingredients[index].name;
    }
}

/* Exactly one of ingredient, starter and formula. */
static void read_thing(struct json_object *in, struct line *line)
{
    int named = 0;
    for (int kind = LINE_INGREDIENT; kind <= LINE_FORMULA; kind++) {
        if (!json_has(in, line_words[kind])) continue;
        named++;
        line->kind = (enum line_kind)kind;
        line->code = json_code(in, line_words[kind], JSON_REQUIRED);
    }
    if (named != 1)
        fail_add(in->node.fails, FAIL_INVALID, in->node.path,
                 "must name exactly one of ingredient, starter and formula");
}

/* Exactly one of pct and flour_pct. */
static void read_percentage(struct json_object *in, struct line *line, enum basis basis)
{
    bool plain = json_has(in, "pct");
    line->flour_share = json_has(in, "flour_pct");
    if (plain == line->flour_share)
        fail_add(in->node.fails, FAIL_INVALID, in->node.path,
                 "must have exactly one of pct and flour_pct");
    else if (line->flour_share && (basis == BASIS_FINAL || line->kind == LINE_INGREDIENT))
        fail_add(in->node.fails, FAIL_INVALID, in->node.path,
                 "flour_pct is for starters and formulas in a formula of basis total");
    line->pct = line->flour_share
                    ? json_decimal(in, "flour_pct", JSON_OPTIONAL, PERCENT_PLACES, 1, PERCENT_ALL,
                                   0)
                    : json_decimal(in, "pct", JSON_OPTIONAL, PERCENT_PLACES, 1, PERCENT_MAX, 0);
}

static void read_lines(struct json_object *body, struct formula *formula)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "lines", JSON_REQUIRED, 1, LINES_MAX, &list);
    formula->lines = arena_array(body->node.arena, list.length, sizeof *formula->lines);
    while (formula->lines != NULL && json_list_next(&list, &item)) {
        struct line *line = &formula->lines[formula->line_count++];
        struct json_object in;
        json_object_open(&in, item);
        read_thing(&in, line);
        read_percentage(&in, line, formula->basis);
        json_object_close(&in);
    }
}

/* A dough is baked once. */
static void read_uses(struct json_object *in, const struct formula *formula, struct stage *stage)
{
    if (json_has(in, "uses"))
        stage->uses = USES_MIXER +
                      (enum stage_use)json_word(in, "uses", JSON_OPTIONAL, stage_uses, 0);
    for (const struct stage *s = formula->stages; stage->uses == USES_OVEN && s < stage; s++)
        if (s->uses == USES_OVEN) json_fault(in, "uses", "names the oven a second time");
    if (stage->uses == USES_MIXER && formula->by_hand)
        json_fault(in, "uses", "cannot be the mixer for what is mixed by hand");
}

static void read_labour(struct json_object *in, struct stage *stage)
{
    struct json_object labour;
    if (!json_object_member(in, "labour", JSON_OPTIONAL, &labour)) return;
    stage->labour_per = LABOUR_PER_MIX +
                        (enum labour_per)json_word(&labour, "per", JSON_REQUIRED, labour_pers, 0);
    stage->labour_minutes = json_decimal(&labour, "minutes", JSON_REQUIRED, MINUTE_PLACES, 0,
                                         LABOUR_MAX, 0);
    json_object_close(&labour);
}

static void read_stage(const struct json_node *item, struct formula *formula, struct stage *stage)
{
    struct json_object in;
    json_object_open(&in, *item);
    stage->name = json_text(&in, "stage", JSON_REQUIRED, STAGE_NAME_MAX);
    stage->minutes = json_whole(&in, "minutes", JSON_REQUIRED, 0, MINUTES_MAX, 0);
    stage->at = json_text(&in, "at", JSON_OPTIONAL, STAGE_NAME_MAX);
    stage->hands = json_whole(&in, "hands", JSON_OPTIONAL, 0, HANDS_MAX, 0);
    read_uses(&in, formula, stage);
    stage->most_minutes = json_whole(&in, "most_minutes", JSON_OPTIONAL, 0, MINUTES_MAX, 0);
    if (json_has(&in, "most_minutes") && stage->most_minutes < stage->minutes)
        json_fault(&in, "most_minutes", "must not be under minutes");
    read_labour(&in, stage);
    json_object_close(&in);
}

static void read_stages(struct json_object *body, struct formula *formula)
{
    struct json_list list;
    struct json_node item;
    json_list_member(body, "stages", JSON_OPTIONAL, 0, STAGES_MAX, &list);
    formula->stages = arena_array(body->node.arena, list.length, sizeof *formula->stages);
    while (formula->stages != NULL && json_list_next(&list, &item))
        read_stage(&item, formula, &formula->stages[formula->stage_count++]);
}

void formula_read(struct json_object *body, struct formula *formula)
{
    formula->name = json_name(body, "name", JSON_REQUIRED);
    formula->basis = (enum basis)json_word(body, "basis", JSON_REQUIRED, formula_bases,
                                           BASIS_TOTAL);
    read_lines(body, formula);
    formula->handling_loss_pct = json_decimal(body, "handling_loss_pct", JSON_OPTIONAL,
                                              PERCENT_PLACES, 0, PERCENT_ALL - 1, 0);
    formula->has_dough_c = json_has(body, "dough_c");
    formula->dough_c = json_decimal(body, "dough_c", JSON_OPTIONAL, TEMPERATURE_PLACES,
                                    TEMPERATURE_MIN, TEMPERATURE_MAX, 0);
    formula->mixer = json_code(body, "mixer", JSON_OPTIONAL);
    formula->by_hand = json_bool(body, "by_hand", JSON_OPTIONAL, false);
    if (formula->by_hand && formula->mixer != NULL)
        json_fault(body, "mixer", "cannot be named for what is mixed by hand");
    read_stages(body, formula);
    formula->note = json_text(body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
}

static void write_labour(struct json_writer *json, const struct stage *stage)
{
    if (stage->labour_per == LABOUR_USUAL) {
        json_put_null(json, "labour");
        return;
    }
    json_open_object(json, "labour");
    json_put_text(json, "per", labour_pers[stage->labour_per - LABOUR_PER_MIX]);
    json_put_decimal(json, "minutes", stage->labour_minutes, MINUTE_PLACES);
    json_close(json);
}

static void write_lines(struct json_writer *json, const struct formula *formula)
{
    json_open_list(json, "lines");
    for (size_t i = 0; i < formula->line_count; i++) {
        const struct line *line = &formula->lines[i];
        json_open_object(json, NULL);
        json_put_text(json, line_words[line->kind], line->code);
        json_put_decimal(json, line->flour_share ? "flour_pct" : "pct", line->pct, PERCENT_PLACES);
        json_close(json);
    }
    json_close(json);
}

static void write_stages(struct json_writer *json, const struct formula *formula)
{
    json_open_list(json, "stages");
    for (size_t i = 0; i < formula->stage_count; i++) {
        const struct stage *stage = &formula->stages[i];
        json_open_object(json, NULL);
        json_put_text(json, "stage", stage->name);
        json_put_whole(json, "minutes", stage->minutes);
        json_put_text(json, "at", stage->at);
        json_put_whole(json, "hands", stage->hands);
        json_put_text(json, "uses",
                      stage->uses == USES_NOTHING ? NULL : stage_uses[stage->uses - USES_MIXER]);
        json_put_whole_or_null(json, "most_minutes", stage->most_minutes, stage->most_minutes > 0);
        write_labour(json, stage);
        json_close(json);
    }
    json_close(json);
}

void formula_write(struct json_writer *json, const struct formula *formula)
{
    json_put_text(json, "code", formula->code);
    json_put_text(json, "name", formula->name);
    json_put_text(json, "basis", formula_bases[formula->basis]);
    write_lines(json, formula);
    json_put_decimal(json, "handling_loss_pct", formula->handling_loss_pct, PERCENT_PLACES);
    json_put_decimal_or_null(json, "dough_c", formula->dough_c, TEMPERATURE_PLACES,
                             formula->has_dough_c);
    json_put_text(json, "mixer", formula->mixer);
    json_put_bool(json, "by_hand", formula->by_hand);
    write_stages(json, formula);
    json_put_text(json, "note", formula->note);
}

/* A formula without flour has none of the figures that are told in parts of flour. */
static void write_of_flour(struct json_writer *json, const char *name,
                           const struct formula_view *view, int64_t pct)
{
    json_put_decimal_or_null(json, name, pct, PERCENT_PLACES, view->has_flour);
}

static void write_overall(struct json_writer *json, const struct catalogue *catalogue,
                          const struct formula_view *view)
{
    json_open_object(json, "overall");
    write_of_flour(json, "hydration_pct", view, view->hydration_pct);
    write_of_flour(json, "salt_pct", view, view->salt_pct);
    write_of_flour(json, "prefermented_flour_pct", view, view->prefermented_flour_pct);
    json_open_list(json, "lines");
    for (size_t i = 0; i < view->overall_count; i++) {
        const struct ingredient *ingredient = &catalogue->ingredients[view->overall[i].ingredient];
        json_open_object(json, NULL);
        json_put_text(json, "ingredient", ingredient->code);
        json_put_text(json, "name", ingredient->name);
        json_put_decimal(json, "pct", view->overall[i].pct, PERCENT_PLACES);
        json_close(json);
    }
    json_close(json);
    json_close(json);
}

static void write_final(struct json_writer *json, const struct catalogue *catalogue,
                        const struct formula *formula, const struct formula_view *view)
{
    json_open_object(json, "final");
    json_open_list(json, "lines");
    for (size_t i = 0; i < formula->line_count; i++) {
        const struct line *line = &formula->lines[i];
        json_open_object(json, NULL);
        json_put_text(json, line_words[line->kind], line->code);
        json_put_text(json, "name", line_name(catalogue, line->kind, line->index));
        json_put_decimal(json, "pct", view->final_pct[i], PERCENT_PLACES);
        json_close(json);
    }
    json_close(json);
    json_close(json);
}

bool formula_write_view(struct arena *arena, struct json_writer *json,
                        const struct breakdowns *breakdowns, size_t formula)
{
    struct formula_view view;
    size_t count;
    if (!breakdown_view(arena, breakdowns, formula, &view)) return false;
    const char *const *allergens = breakdown_allergens(arena, breakdowns, formula, &count);
    if (allergens == NULL) return false;
    write_overall(json, breakdowns->catalogue, &view);
    write_final(json, breakdowns->catalogue, &breakdowns->catalogue->formulas[formula], &view);
    json_open_list(json, "allergens");
    for (size_t i = 0; i < count; i++)
        json_put_text(json, NULL, allergens[i]);
    json_close(json);
    return true;
}
