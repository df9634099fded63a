/* Finding by code, and turning codes into indexes.
 *
 * Invariants: lists are sorted by strcmp() of their codes, each code once; the code is the first
 * member of everything that has one, so one search serves all lists.
 */
#include "bakery/catalogue.h"

#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { POINTER_MAX = 64 };

_Static_assert(offsetof(struct ingredient, code) == 0, "the search reads the first member");
_Static_assert(offsetof(struct starter, code) == 0, "the search reads the first member");
_Static_assert(offsetof(struct formula, code) == 0, "the search reads the first member");
_Static_assert(offsetof(struct product, code) == 0, "the search reads the first member");

/* --- finding --- */

/* A list of things whose first member is their code. */
struct codes {
    const void *items;
    size_t count;
    size_t size; /* of one item */
};

static const char *code_at(const struct codes *codes, size_t at)
{
    return *(const char *const *)((const char *)codes->items + at * codes->size);
}

/* The first place whose code is not before the one sought. */
static size_t lower_bound(const struct codes *codes, const char *code)
{
    size_t low = 0;
    size_t high = codes->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(code_at(codes, middle), code) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool is_at(const struct codes *codes, size_t at, const char *code)
{
    return at < codes->count && strcmp(code_at(codes, at), code) == 0;
}

static size_t find(struct codes codes, const char *code)
{
    if (!code) return NOT_FOUND;
    size_t at = lower_bound(&codes, code);
    return is_at(&codes, at, code) ? at : NOT_FOUND;
}

#define CODES(list, length) ((struct codes){(list), (length), sizeof *(list)})

size_t catalogue_ingredient(const struct catalogue *catalogue, const char *code)
{
    return find(CODES(catalogue->ingredients, catalogue->ingredient_count), code);
}

const struct ingredient *catalogue_ingredient_of(const struct catalogue *catalogue,
                                                 const char *code)
{
    return &catalogue->ingredients[catalogue_ingredient(catalogue, code)];
}

size_t catalogue_starter(const struct catalogue *catalogue, const char *code)
{
    return find(CODES(catalogue->starters, catalogue->starter_count), code);
}

size_t catalogue_formula(const struct catalogue *catalogue, const char *code)
{
    return find(CODES(catalogue->formulas, catalogue->formula_count), code);
}

size_t catalogue_product(const struct catalogue *catalogue, const char *code)
{
    return find(CODES(catalogue->products, catalogue->product_count), code);
}

size_t catalogue_thing(const struct catalogue *catalogue, enum line_kind kind, const char *code)
{
    return kind == LINE_INGREDIENT ? catalogue_ingredient(catalogue, code)
           : kind == LINE_STARTER  ? catalogue_starter(catalogue, code)
                                   : catalogue_formula(catalogue, code);
}

const char *catalogue_thing_name(const struct catalogue *catalogue, enum line_kind kind,
                                 const char *code)
{
    size_t at = catalogue_thing(catalogue, kind, code);
    if (at == NOT_FOUND) return code;
    return kind == LINE_INGREDIENT ? catalogue->ingredients[at].name
           : kind == LINE_STARTER  ? catalogue->starters[at].name
                                   : catalogue->formulas[at].name;
}

const char *catalogue_product_name(const struct catalogue *catalogue, const char *code)
{
    size_t at = catalogue_product(catalogue, code);
    return at != NOT_FOUND ? catalogue->products[at].name : code;
}

/* --- putting --- */

/* A copy of the list with room for the item at its place, which the caller fills. NULL when memory
 * is short. *inserted tells whether it is new. */
static void *list_with(struct arena *arena, struct codes old, const char *code, size_t *at,
                       bool *inserted)
{
    *at = lower_bound(&old, code);
    *inserted = !is_at(&old, *at, code);
    char *list = arena_array(arena, old.count + 1, old.size);
    if (!list) return NULL;
    size_t before = *at * old.size;
    size_t after = (old.count - *at) * old.size;
    if (before > 0) memcpy(list, old.items, before);
    if (after > 0)
        memcpy(list + before + (*inserted ? old.size : 0), (const char *)old.items + before, after);
    return list;
}

/* Prices stand beside the ingredients: a new ingredient has none yet. */
static bool make_room_for_price(struct arena *arena, struct catalogue *catalogue, size_t at)
{
    if (!catalogue->prices) return true;
    struct price *prices = arena_array(arena, catalogue->ingredient_count + 1,
                                       sizeof(struct price));
    if (!prices) return false;
    for (size_t i = 0; i < catalogue->ingredient_count; i++)
        prices[i + (i >= at)] = catalogue->prices[i];
    catalogue->prices = prices;
    return true;
}

bool catalogue_put_ingredient(struct arena *arena, struct catalogue *catalogue,
                              const struct ingredient *ingredient)
{
    size_t at;
    bool inserted;
    struct ingredient *list = list_with(arena,
                                        CODES(catalogue->ingredients, catalogue->ingredient_count),
                                        ingredient->code, &at, &inserted);
    if (!list || (inserted && !make_room_for_price(arena, catalogue, at))) return false;
    list[at] = *ingredient;
    catalogue->ingredients = list;
    catalogue->ingredient_count += inserted;
    return true;
}

bool catalogue_put_starter(struct arena *arena, struct catalogue *catalogue,
                           const struct starter *starter)
{
    size_t at;
    bool inserted;
    struct starter *list = list_with(arena, CODES(catalogue->starters, catalogue->starter_count),
                                     starter->code, &at, &inserted);
    if (!list) return false;
    list[at] = *starter;
    catalogue->starters = list;
    catalogue->starter_count += inserted;
    return true;
}

bool catalogue_put_formula(struct arena *arena, struct catalogue *catalogue,
                           const struct formula *formula)
{
    size_t at;
    bool inserted;
    struct formula *list = list_with(arena, CODES(catalogue->formulas, catalogue->formula_count),
                                     formula->code, &at, &inserted);
    if (!list) return false;
    list[at] = *formula;
    catalogue->formulas = list;
    catalogue->formula_count += inserted;
    return true;
}

/* --- faults --- */

/* Room for one more: the list doubles whenever its length is a power of two. */
static bool make_room_for_fault(struct catalogue_faults *faults)
{
    if (faults->count & (faults->count - 1)) return true;
    size_t capacity = faults->count == 0 ? 1 : 2 * faults->count;
    struct catalogue_fault *items = arena_array(faults->arena, capacity, sizeof *items);
    if (!items) return false;
    if (faults->count > 0) memcpy(items, faults->items, faults->count * sizeof *items);
    faults->items = items;
    return true;
}

bool catalogue_fault_add(struct catalogue_faults *faults, enum catalogue_place where, size_t index,
                         const char *path, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const char *text = arena_vprintf(faults->arena, format, args);
    va_end(args);
    const char *own_path = arena_copy(faults->arena, path);
    if (!text || !own_path || !make_room_for_fault(faults)) {
        faults->failed = true;
        return false;
    }
    struct catalogue_fault *fault = &faults->items[faults->count++];
    fault->where = where;
    fault->index = index;
    fault->path = own_path;
    fault->text = text;
    return false;
}

/* --- resolving --- */

/* Whose codes are being resolved. */
struct owner {
    struct catalogue *catalogue;
    struct catalogue_faults *faults;
    enum catalogue_place where;
    size_t index;
};

static const char *const kind_words[] = {
    [LINE_INGREDIENT] = "ingredient", [LINE_STARTER] = "starter", [LINE_FORMULA] = "formula"};

static void not_found(const struct owner *owner, const char *path, const char *word,
                      const char *code)
{
    catalogue_fault_add(owner->faults, owner->where, owner->index, path, "there is no %s %s", word,
                        code ? code : "without a code");
}

static size_t find_kind(const struct catalogue *catalogue, enum line_kind kind, const char *code)
{
    switch (kind) {
    case LINE_INGREDIENT:
        return catalogue_ingredient(catalogue, code);
    case LINE_STARTER:
        return catalogue_starter(catalogue, code);
    default:
        return catalogue_formula(catalogue, code);
    }
}

/* The n-th line of a formula or part of a product: something that is weighed. */
static void resolve_weighed(const struct owner *owner, const char *list, size_t n,
                            enum line_kind kind, const char *code, size_t *index)
{
    char path[POINTER_MAX];
    *index = find_kind(owner->catalogue, kind, code);
    if (*index == NOT_FOUND) {
        snprintf(path, sizeof path, "/%s/%zu/%s", list, n, kind_words[kind]);
        not_found(owner, path, kind_words[kind], code);
        return;
    }
    if (kind != LINE_INGREDIENT) return;
    const struct ingredient *ingredient = &owner->catalogue->ingredients[*index];
    snprintf(path, sizeof path, "/%s/%zu", list, n);
    if (ingredient->kind == KIND_PACKAGING)
        catalogue_fault_add(owner->faults, owner->where, owner->index, path,
                            "%s is packaging, which does not go into a dough", code);
    else if (ingredient->unit != UNIT_GRAM)
        catalogue_fault_add(owner->faults, owner->where, owner->index, path,
                            "%s is counted by the piece and cannot be weighed", code);
}

/* An ingredient of a starter: of that kind and weighed. */
static void resolve_kind(const struct owner *owner, const char *path, enum ingredient_kind kind,
                         const char *word, const char *code, size_t *index)
{
    *index = catalogue_ingredient(owner->catalogue, code);
    if (*index == NOT_FOUND) {
        not_found(owner, path, "ingredient", code);
        return;
    }
    const struct ingredient *ingredient = &owner->catalogue->ingredients[*index];
    if (ingredient->kind != kind)
        catalogue_fault_add(owner->faults, owner->where, owner->index, path, "%s is not %s", code,
                            word);
    else if (ingredient->unit != UNIT_GRAM)
        catalogue_fault_add(owner->faults, owner->where, owner->index, path,
                            "%s is counted by the piece and cannot be weighed", code);
}

static void resolve_starter(const struct owner *owner)
{
    struct starter *starter = &owner->catalogue->starters[owner->index];
    for (size_t n = 0; n < starter->flour_count; n++) {
        char path[POINTER_MAX];
        snprintf(path, sizeof path, "/flours/%zu/ingredient", n);
        resolve_kind(owner, path, KIND_FLOUR, "a flour", starter->flours[n].ingredient,
                     &starter->flours[n].index);
    }
    resolve_kind(owner, "/water", KIND_WATER, "water", starter->water, &starter->water_index);
}

static bool has_mixer(const struct bakery *bakery, const char *code)
{
    for (size_t i = 0; i < bakery->mixer_count; i++)
        if (strcmp(bakery->mixers[i].code, code) == 0) return true;
    return false;
}

static void resolve_formula(const struct owner *owner)
{
    struct formula *formula = &owner->catalogue->formulas[owner->index];
    for (size_t n = 0; n < formula->line_count; n++) {
        struct line *line = &formula->lines[n];
        resolve_weighed(owner, "lines", n, line->kind, line->code, &line->index);
    }
    if (formula->mixer && !has_mixer(&owner->catalogue->bakery, formula->mixer))
        not_found(owner, "/mixer", "mixer", formula->mixer);
}

static void resolve_packaging(const struct owner *owner, struct packaging *packaging, size_t n)
{
    char path[POINTER_MAX];
    snprintf(path, sizeof path, "/packaging/%zu/ingredient", n);
    packaging->index = catalogue_ingredient(owner->catalogue, packaging->ingredient);
    if (packaging->index == NOT_FOUND)
        not_found(owner, path, "ingredient", packaging->ingredient);
    else if (owner->catalogue->ingredients[packaging->index].unit != UNIT_PIECE)
        catalogue_fault_add(owner->faults, owner->where, owner->index, path,
                            "%s is weighed, and packaging is counted by the piece",
                            packaging->ingredient);
}

static void resolve_product(const struct owner *owner)
{
    struct product *product = &owner->catalogue->products[owner->index];
    for (size_t n = 0; n < product->part_count; n++) {
        struct part *part = &product->parts[n];
        resolve_weighed(owner, "parts", n, part->kind, part->code, &part->index);
    }
    for (size_t n = 0; n < product->packaging_count; n++)
        resolve_packaging(owner, &product->packaging[n], n);
}

bool catalogue_resolve(struct catalogue *catalogue, struct catalogue_faults *faults)
{
    size_t before = faults->count;
    struct owner owner = {catalogue, faults, FAULT_STARTER, 0};
    for (owner.index = 0; owner.index < catalogue->starter_count; owner.index++)
        resolve_starter(&owner);
    owner.where = FAULT_FORMULA;
    for (owner.index = 0; owner.index < catalogue->formula_count; owner.index++)
        resolve_formula(&owner);
    owner.where = FAULT_PRODUCT;
    for (owner.index = 0; owner.index < catalogue->product_count; owner.index++)
        resolve_product(&owner);
    return faults->count == before && !faults->failed;
}
