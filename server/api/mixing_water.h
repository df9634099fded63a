/* The water of every mix of a list: from what was measured that night and what the mixers are known
 * to do. */
#ifndef MORROWLOAF_API_MIXING_WATER_H
#define MORROWLOAF_API_MIXING_WATER_H

#include "api/reckon.h"
#include "bakery/temperature.h"

struct mixing_water {
    bool measured;                    /* anything was measured for this night */
    struct temperatures temperatures; /* measured, or as usual */
    struct mix_water *mixes;          /* one per mix of the list */
};

bool mixing_water_load(struct request *request, const struct day *day,
                       const struct mixing_list *list, struct mixing_water *out);

#endif
