/* Differences between two lists of amounts. */
#include "bakery/changes.h"

#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

static int compare(const void *a, const void *b)
{
    const struct amount *x = a, *y = b;
    if (x->day != y->day) return x->day < y->day ? -1 : 1;
    return strcmp(x->code, y->code);
}

static void sort(struct amounts *amounts)
{
    if (amounts->count > 1) qsort(amounts->items, amounts->count, sizeof *amounts->items, compare);
}

static struct change change_of(const struct amount *before, const struct amount *now)
{
    const struct amount *known = now != NULL ? now : before;
    return (struct change){.day = known->day,
                           .code = known->code,
                           .name = known->name,
                           .before = before != NULL ? before->value : 0,
                           .now = now != NULL ? now->value : 0};
}

bool changes_of(struct arena *arena, struct amounts *before, struct amounts *now,
                struct change **changes, size_t *count)
{
    size_t b = 0, n = 0;
    *count = 0;
    *changes = arena_array(arena, before->count + now->count, sizeof **changes);
    if (*changes == NULL) return false;
    sort(before);
    sort(now);
    while (b < before->count || n < now->count) {
        const struct amount *old = b < before->count ? &before->items[b] : NULL;
        const struct amount *new = n < now->count ? &now->items[n] : NULL;
        int order = old == NULL ? 1 : new == NULL ? -1 : compare(old, new);
        if (order <= 0) b++;
        if (order >= 0) n++;
        struct change change = change_of(order <= 0 ? old : NULL, order >= 0 ? new : NULL);
        if (change.before != change.now) (*changes)[(*count)++] = change;
    }
    return true;
}
