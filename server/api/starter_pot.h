/* A starter and its pot, as the endpoints below /starters/{code} need them. */
#ifndef MORROWLOAF_API_STARTER_POT_H
#define MORROWLOAF_API_STARTER_POT_H

#include "api/reckon.h"
#include "bakery/pot.h"
#include "json/writer.h"

struct starter_pot {
    struct day day;
    size_t index; /* of the starter in the catalogue */
    const struct starter *starter;
    struct pot_state state;
};

/* The starter of the path with the state of its pot; FAIL_NOT_FOUND when there is none. The struct
 * points into itself: do not copy it. */
bool starter_pot_open(struct request *request, struct starter_pot *pot);

/* The state of one pot. */
bool starter_pot_state(struct request *request, const struct reckoning *reckoning,
                       const char *starter, struct pot_state *state);
/* The states of all pots, one per starter of the catalogue; NULL with faults on the list. */
struct pot_state *starter_pots_load(struct request *request, const struct day *day);

/* "flours": so much flour divided by the starter's blend; the last takes what rounding leaves. */
void starter_flours_write(struct json_writer *json, const struct catalogue *catalogue,
                          const struct starter *starter, int64_t flour_mg);

#endif
