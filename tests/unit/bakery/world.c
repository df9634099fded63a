/* Building and asking the tests' bakery. Whatever goes wrong here fails the test at once. */
#include "world.h"

#include "base/decimal.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LIST_MAX = 40, PIECE_OF_TEXT = 512 };

/* --- numbers --- */

int64_t units(const char *text, int places)
{
    int64_t value = 0;
    cr_assert_eq(decimal_parse(text, strlen(text), places, &value), DECIMAL_OK, "number %s", text);
    return value;
}

int64_t mg(const char *grams)
{
    return units(grams, WEIGHT_PLACES);
}

int64_t pct(const char *percent)
{
    return units(percent, PERCENT_PLACES);
}

int64_t micros(const char *money)
{
    return units(money, MONEY_PLACES);
}

date day_of(const char *text)
{
    date day = 0;
    cr_assert(date_parse(text, &day), "date %s", text);
    return day;
}

const char *day_text(date day)
{
    static char texts[4][DATE_TEXT_SIZE];
    static int turn;
    turn = (turn + 1) % 4;
    date_print(texts[turn], day);
    return texts[turn];
}

const char *clock_text(const struct world *w, instant at)
{
    static char texts[4][INSTANT_TEXT_SIZE];
    static int turn;
    turn = (turn + 1) % 4;
    instant_print(texts[turn], at, zone_offset(w->reckoning.zone, at));
    return texts[turn];
}

static int clock_of(const char *text)
{
    int minutes = NO_CLOCK;
    if (*text != '\0') cr_assert(clock_parse(text, &minutes), "clock %s", text);
    return minutes;
}

/* --- the bakery --- */

static void *room(struct world *w, size_t count, size_t size)
{
    void *memory = arena_array(w->arena, count, size);
    cr_assert_not_null(memory);
    return memory;
}

static void usual_ingredients(struct world *w)
{
    ingredient(w, "wheat", KIND_FLOUR);
    ingredient(w, "rye", KIND_FLOUR);
    ingredient(w, "spelt", KIND_FLOUR);
    ingredient(w, "water", KIND_WATER);
    ingredient(w, "salt", KIND_SALT);
    ingredient(w, "yeast", KIND_OTHER);
    ingredient(w, "seeds", KIND_OTHER);
    ingredient(w, "milk", KIND_OTHER);
    the_ingredient(w, "milk")->has_water_pct = true;
    the_ingredient(w, "milk")->water_pct = pct("87.5");
    ingredient(w, "bag", KIND_PACKAGING);
    the_ingredient(w, "bag")->unit = UNIT_PIECE;
}

struct world *world_new(void)
{
    struct world *w = calloc(1, sizeof *w);
    cr_assert_not_null(w);
    w->arena = arena_new(0);
    cr_assert_not_null(w->arena);
    fails_init(&w->fails, w->arena);
    w->faults.arena = w->arena;
    w->reckoning = (struct reckoning){w->arena, &w->fails, &w->catalogue, &w->breakdowns, NULL};
    w->catalogue.bakery = (struct bakery){.name = "The Mill Lane Bakery",
                                          .currency = "GBP",
                                          .ready_at = 6 * 60 + 30,
                                          .day_starts_at = 12 * 60,
                                          .scale_mg = 1000};
    set_zone(w, "Europe/London");
    usual_ingredients(w);
    return w;
}

void world_free(struct world *w)
{
    arena_free(w->arena);
    free(w);
}

void set_zone(struct world *w, const char *name)
{
    w->catalogue.bakery.time_zone = name;
    w->reckoning.zone = zone_load(w->arena, name);
    cr_assert_not_null(w->reckoning.zone, "zone %s", name);
}

void ingredient(struct world *w, const char *code, enum ingredient_kind kind)
{
    struct ingredient made = {.code = code, .name = code, .kind = kind, .unit = UNIT_GRAM};
    cr_assert(catalogue_put_ingredient(w->arena, &w->catalogue, &made));
}

struct ingredient *the_ingredient(struct world *w, const char *code)
{
    return &w->catalogue.ingredients[at_ingredient(w, code)];
}

/* --- lists in words --- */

/* One entry of a list: its words, the last of which is the number. */
struct entry {
    char words[4][64];
    int count;
};

static size_t read_list(const char *text, struct entry entries[LIST_MAX])
{
    char copy[PIECE_OF_TEXT];
    size_t count = 0;
    char *rest = NULL;
    snprintf(copy, sizeof copy, "%s", text);
    for (char *one = strtok_r(copy, ",", &rest); one; one = strtok_r(NULL, ",", &rest)) {
        struct entry *e = &entries[count++];
        e->count = sscanf(one, "%63s %63s %63s %63s", e->words[0], e->words[1], e->words[2],
                          e->words[3]);
        cr_assert_geq(e->count, 2, "entry %s", one);
    }
    return count;
}

static const char *number_of(const struct entry *e)
{
    return e->words[e->count - 1];
}

static struct line read_line(struct world *w, const struct entry *e)
{
    bool is_starter = strcmp(e->words[0], "starter") == 0;
    bool is_formula = strcmp(e->words[0], "formula") == 0;
    struct line line = {.index = NOT_FOUND, .pct = pct(number_of(e))};
    line.kind = is_starter ? LINE_STARTER : is_formula ? LINE_FORMULA : LINE_INGREDIENT;
    line.code = arena_copy(w->arena, e->words[is_starter || is_formula]);
    int after_code = is_starter || is_formula ? 2 : 1;
    line.flour_share = e->count - 1 > after_code && strcmp(e->words[e->count - 2], "flour") == 0;
    return line;
}

void starter(struct world *w, const char *code, const char *hydration, const char *flours)
{
    struct entry entries[LIST_MAX];
    struct starter made = {
        .code = code, .name = code, .hydration_pct = pct(hydration), .water = "water"};
    made.flour_count = read_list(flours, entries);
    made.flours = room(w, made.flour_count, sizeof *made.flours);
    for (size_t n = 0; n < made.flour_count; n++)
        made.flours[n] = (struct flour_share){
            .ingredient = arena_copy(w->arena, entries[n].words[0]),
            .index = NOT_FOUND,
            .pct = pct(number_of(&entries[n]))};
    cr_assert(catalogue_put_starter(w->arena, &w->catalogue, &made));
}

struct starter *the_starter(struct world *w, const char *code)
{
    size_t at = catalogue_starter(&w->catalogue, code);
    cr_assert_neq(at, NOT_FOUND, "starter %s", code);
    return &w->catalogue.starters[at];
}

void formula(struct world *w, const char *code, enum basis basis, const char *lines)
{
    struct entry entries[LIST_MAX];
    struct formula made = {
        .code = arena_copy(w->arena, code), .name = arena_copy(w->arena, code), .basis = basis};
    made.line_count = read_list(lines, entries);
    made.lines = room(w, made.line_count, sizeof *made.lines);
    for (size_t n = 0; n < made.line_count; n++)
        made.lines[n] = read_line(w, &entries[n]);
    cr_assert(catalogue_put_formula(w->arena, &w->catalogue, &made));
}

struct formula *the_formula(struct world *w, const char *code)
{
    return &w->catalogue.formulas[at_formula(w, code)];
}

void stages(struct world *w, const char *code, const char *list)
{
    struct entry entries[LIST_MAX];
    struct formula *of = the_formula(w, code);
    of->stage_count = read_list(list, entries);
    of->stages = room(w, of->stage_count, sizeof *of->stages);
    for (size_t n = 0; n < of->stage_count; n++)
        of->stages[n] = (struct stage){.name = arena_copy(w->arena, entries[n].words[0]),
                                       .minutes = units(number_of(&entries[n]), 0)};
}

static int by_code(const void *a, const void *b)
{
    return strcmp(((const struct product *)a)->code, ((const struct product *)b)->code);
}

void product(struct world *w, const char *code, const char *parts)
{
    struct entry entries[LIST_MAX];
    size_t count = w->catalogue.product_count;
    struct product *list = room(w, count + 1, sizeof *list);
    struct product made = {.code = arena_copy(w->arena, code),
                           .name = arena_copy(w->arena, code),
                           .ready_at = NO_CLOCK};
    if (count > 0) memcpy(list, w->catalogue.products, count * sizeof *list);
    made.part_count = read_list(parts, entries);
    made.parts = room(w, made.part_count, sizeof *made.parts);
    for (size_t n = 0; n < made.part_count; n++) {
        const char *of = arena_copy(w->arena, entries[n].words[0]);
        bool dough = catalogue_formula(&w->catalogue, of) != NOT_FOUND;
        made.parts[n] = (struct part){.kind = dough ? LINE_FORMULA : LINE_INGREDIENT,
                                      .code = of,
                                      .index = NOT_FOUND,
                                      .mg = mg(number_of(&entries[n]))};
    }
    list[count] = made;
    w->catalogue.products = list;
    w->catalogue.product_count = count + 1;
    qsort(list, count + 1, sizeof *list, by_code);
}

struct product *the_product(struct world *w, const char *code)
{
    return &w->catalogue.products[at_product(w, code)];
}

void packaging(struct world *w, const char *code, const char *of, int64_t pieces)
{
    struct product *p = the_product(w, code);
    struct packaging *list = room(w, p->packaging_count + 1, sizeof *list);
    if (p->packaging_count > 0) memcpy(list, p->packaging, p->packaging_count * sizeof *list);
    list[p->packaging_count++] = (struct packaging){.ingredient = of, .pieces = pieces};
    p->packaging = list;
}

void mixer(struct world *w, const char *code, const char *min, const char *max)
{
    struct bakery *b = &w->catalogue.bakery;
    struct mixer *list = room(w, b->mixer_count + 1, sizeof *list);
    if (b->mixer_count > 0) memcpy(list, b->mixers, b->mixer_count * sizeof *list);
    list[b->mixer_count++] = (struct mixer){.code = code, .min_mg = mg(min), .max_mg = mg(max)};
    b->mixers = list;
}

void price(struct world *w, const char *code, const char *pack, const char *money)
{
    struct catalogue *c = &w->catalogue;
    if (!c->prices) c->prices = room(w, c->ingredient_count, sizeof *c->prices);
    struct price *p = &c->prices[at_ingredient(w, code)];
    bool counted = the_ingredient(w, code)->unit == UNIT_PIECE;
    *p = (struct price){.known = true, .micros = micros(money)};
    if (counted)
        p->pack_pieces = units(pack, 0);
    else
        p->pack_mg = mg(pack);
}

void order(struct world *w, const char *day, const char *of, int64_t pieces, const char *ready)
{
    if (w->demand_count == w->demand_room) {
        w->demand_room = w->demand_room == 0 ? 16 : 2 * w->demand_room;
        struct demand *list = room(w, w->demand_room, sizeof *list);
        if (w->demand_count > 0) memcpy(list, w->demands, w->demand_count * sizeof *list);
        w->demands = list;
    }
    w->demands[w->demand_count++] = (struct demand){day_of(day), at_product(w, of), clock_of(ready),
                                                    pieces};
}

/* --- working it out --- */

bool work_out(struct world *w)
{
    w->faults = (struct catalogue_faults){.arena = w->arena};
    bool known = catalogue_resolve(&w->catalogue, &w->faults);
    return breakdown_all(w->arena, &w->catalogue, &w->faults, &w->breakdowns) && known;
}

void open_world(struct world *w)
{
    bool sound = work_out(w);
    cr_assert(sound, "%s: %s", w->faults.count > 0 ? w->faults.items[0].path : "no memory",
              w->faults.count > 0 ? w->faults.items[0].text : "");
}

bool has_fault(const struct world *w, enum catalogue_place where, const char *code,
               const char *path)
{
    size_t index = where == FAULT_STARTER   ? catalogue_starter(&w->catalogue, code)
                   : where == FAULT_FORMULA ? catalogue_formula(&w->catalogue, code)
                                            : catalogue_product(&w->catalogue, code);
    for (size_t i = 0; i < w->faults.count; i++) {
        const struct catalogue_fault *fault = &w->faults.items[i];
        if (fault->where == where && fault->index == index && strcmp(fault->path, path) == 0)
            return true;
    }
    return false;
}

bool formula_fault(const struct world *w, const char *code, const char *path)
{
    return has_fault(w, FAULT_FORMULA, code, path);
}

size_t at_ingredient(const struct world *w, const char *code)
{
    size_t at = catalogue_ingredient(&w->catalogue, code);
    cr_assert_neq(at, NOT_FOUND, "ingredient %s", code);
    return at;
}

size_t at_formula(const struct world *w, const char *code)
{
    size_t at = catalogue_formula(&w->catalogue, code);
    cr_assert_neq(at, NOT_FOUND, "formula %s", code);
    return at;
}

size_t at_product(const struct world *w, const char *code)
{
    size_t at = catalogue_product(&w->catalogue, code);
    cr_assert_neq(at, NOT_FOUND, "product %s", code);
    return at;
}

static void must(const struct world *w, bool done)
{
    cr_assert(done, "%s", w->fails.count > 0 ? w->fails.items[0].text : "no fault told");
}

struct production production_on(struct world *w, const char *day)
{
    struct production out;
    must(w, production_of(&w->reckoning, day_of(day), w->demands, w->demand_count, &out));
    return out;
}

struct needs needs_on(struct world *w, const char *day)
{
    struct needs out;
    must(w, needs_of(&w->reckoning, day_of(day), w->demands, w->demand_count, &out));
    return out;
}

struct day_cost cost_on(struct world *w, const char *day)
{
    struct day_cost out;
    must(w, day_cost_of(&w->reckoning, day_of(day), w->demands, w->demand_count, &out));
    return out;
}

struct mixing_list list_on(struct world *w, const char *day)
{
    struct mixing_list out;
    must(w, mixing_list_of(&w->reckoning, day_of(day), w->demands, w->demand_count, &out));
    return out;
}

const struct mix *mix_of(const struct world *w, const struct mixing_list *list, const char *code)
{
    for (size_t i = 0; i < list->mix_count; i++)
        if (list->mixes[i].formula == at_formula(w, code)) return &list->mixes[i];
    return NULL;
}

int64_t need_mg(const struct world *w, const struct needs *needs, const char *code)
{
    for (size_t i = 0; i < needs->ingredient_count; i++)
        if (needs->ingredients[i].ingredient == at_ingredient(w, code))
            return needs->ingredients[i].mg;
    return -1;
}

static int64_t in_trillionths(fixed value)
{
    fixed rounded = 0;
    cr_assert(fixed_muldiv(value, 1, fixed_power10(12), ROUND_HALF_EVEN, &rounded));
    return (int64_t)rounded;
}

int64_t composition(const struct world *w, const char *code, const char *of)
{
    const struct breakdown *b = &w->breakdowns.items[at_formula(w, code)];
    cr_assert_not_null(b->lines);
    return in_trillionths(b->ingredients[at_ingredient(w, of)]);
}

int64_t share(const struct world *w, const char *code, size_t n)
{
    const struct breakdown *b = &w->breakdowns.items[at_formula(w, code)];
    cr_assert_not_null(b->lines);
    return in_trillionths(b->lines[n]);
}

void bakes(struct world *w, const char *code, int64_t per_place, int64_t minutes)
{
    struct bake_step *step = arena_array(w->arena, 1, sizeof *step);
    cr_assert_not_null(step);
    *step = (struct bake_step){250 * 10000, minutes, true};
    the_product(w, code)->bake = (struct bake){per_place, step, 1};
}
