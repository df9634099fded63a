/* The allergens of a formula, from its composition down to ingredients. */
#include "bakery/breakdown.h"
#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

static int by_text(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Sorts and leaves each text once; returns how many are left. */
static size_t sort_each_once(const char **texts, size_t count)
{
    if (count == 0) return 0;
    qsort(texts, count, sizeof *texts, by_text);
    size_t kept = 1;
    for (size_t i = 1; i < count; i++)
        if (strcmp(texts[kept - 1], texts[i]) != 0) texts[kept++] = texts[i];
    return kept;
}

const char *const *breakdown_allergens(struct arena *arena, const struct breakdowns *all,
                                       size_t formula, size_t *count)
{
    const struct catalogue *catalogue = all->catalogue;
    const fixed *composition = all->items[formula].ingredients;
    size_t most = 0;
    for (size_t i = 0; composition && i < catalogue->ingredient_count; i++)
        if (composition[i] != 0) most += catalogue->ingredients[i].allergen_count;
    *count = 0;
    const char **found = arena_array(arena, most, sizeof *found);
    if (!found) return NULL;
    size_t n = 0;
    for (size_t i = 0; composition && i < catalogue->ingredient_count; i++)
        for (size_t k = 0; composition[i] != 0 && k < catalogue->ingredients[i].allergen_count; k++)
            found[n++] = catalogue->ingredients[i].allergens[k];
    *count = sort_each_once(found, n);
    return found;
}
