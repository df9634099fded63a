/* Opening a starter's pot. */
#include "api/starter_pot.h"

#include "bakery/amount.h"
#include "bakery/blend.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/starter_log.h"

bool starter_pot_state(struct request *request, const struct reckoning *reckoning,
                       const char *starter, struct pot_state *state)
{
    struct pot_entry *entries;
    size_t count;
    return starter_log_recent(request->tx, starter, &entries, &count) &&
           pot_state_of(reckoning, entries, count, state);
}

bool starter_pot_open(struct request *request, struct starter_pot *pot)
{
    const char *code = request_param(request, "code");
    if (!day_open(request, &pot->day)) return false;
    pot->index = catalogue_starter(&pot->day.catalogue, code);
    if (pot->index == NOT_FOUND)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no starter %s", code);
    pot->starter = &pot->day.catalogue.starters[pot->index];
    return starter_pot_state(request, &pot->day.reckoning, code, &pot->state);
}

struct pot_state *starter_pots_load(struct request *request, const struct day *day)
{
    size_t count = day->catalogue.starter_count;
    struct pot_state *pots = amount_memory(&day->reckoning, count, sizeof *pots);
    for (size_t i = 0; pots != NULL && i < count; i++)
        if (!starter_pot_state(request, &day->reckoning, day->catalogue.starters[i].code, &pots[i]))
            return NULL;
    return pots;
}

void starter_flours_write(struct json_writer *json, const struct catalogue *catalogue,
                          const struct starter *starter, int64_t flour_mg)
{
    int64_t left_mg = flour_mg;
    json_open_list(json, "flours");
    for (size_t i = 0; i < starter->flour_count; i++) {
        const struct flour_share *share = &starter->flours[i];
        int64_t mg = i + 1 < starter->flour_count ? blend_part_mg(flour_mg, share->pct) : left_mg;
        left_mg -= mg;
        json_open_object(json, NULL);
        json_put_text(json, "ingredient", share->ingredient);
        json_put_text(json, "name", catalogue->ingredients[share->index].name);
        json_put_decimal(json, "g", mg, WEIGHT_PLACES);
        json_close(json);
    }
    json_close(json);
}
