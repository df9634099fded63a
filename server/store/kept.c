/* The kept catalogue of a worker. */
#include "store/kept.h"

#include "base/arena.h"
#include "base/fail.h"
#include "base/log.h"
#include "db/db.h"
#include "store/bakery.h"

enum { KEPT_BYTES_MAX = 256 * 1024 * 1024 };

void kept_forget(struct kept *kept)
{
    arena_free(kept->arena);
    *kept = (struct kept){0};
}

static bool work_out(struct tx *tx, struct kept *kept)
{
    struct catalogue_faults faults = {.arena = kept->arena};
    if (catalogue_resolve(&kept->catalogue, &faults) &&
        breakdown_all(kept->arena, &kept->catalogue, &faults, &kept->breakdowns))
        return true;
    if (faults.failed || faults.count == 0) return fail_memory(tx->fails);
    log_error("the stored catalogue does not hold together: %s %s", faults.items[0].path,
              faults.items[0].text);
    return fail_add(tx->fails, FAIL_INTERNAL, "", "the stored formulas do not hold together");
}

/* Loads by way of a transaction whose arena is the one that stays. */
static bool load(struct tx *tx, struct kept *kept)
{
    kept->arena = arena_new(KEPT_BYTES_MAX);
    if (kept->arena == NULL) return fail_memory(tx->fails);
    struct tx staying = *tx;
    staying.arena = kept->arena;
    return catalogue_load(&staying, &kept->catalogue) && work_out(tx, kept);
}

bool kept_catalogue(struct tx *tx, const struct kept **out)
{
    struct kept *kept = tx->keeper;
    int64_t revision = 0;
    *out = kept;
    if (!catalogue_revision(tx, &revision)) return false;
    if (kept->arena != NULL && kept->bakery_id == tx->bakery_id && kept->revision == revision)
        return true;
    kept_forget(kept);
    if (!load(tx, kept)) {
        kept_forget(kept);
        return false;
    }
    kept->bakery_id = tx->bakery_id;
    kept->revision = revision;
    return true;
}
