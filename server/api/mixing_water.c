/* The water of a mixing list. */
#include "api/mixing_water.h"

#include "bakery/amount.h"
#include "http/request.h"
#include "store/dough_temperature.h"
#include "store/night.h"

static struct temperature measured_or_usual(struct temperature measured, struct temperature usual)
{
    return measured.known ? measured : usual;
}

static struct temperatures in_force(const struct temperatures *night,
                                    const struct temperatures *usual)
{
    return (struct temperatures){
        .room = measured_or_usual(night->room, usual->room),
        .flour = measured_or_usual(night->flour, usual->flour),
        .tap = measured_or_usual(night->tap, usual->tap),
        .preferment = measured_or_usual(night->preferment, usual->preferment),
    };
}

bool mixing_water_load(struct request *request, const struct day *day,
                       const struct mixing_list *list, struct mixing_water *out)
{
    struct night night;
    struct friction_seen *seen;
    size_t count;
    if (!night_get(request->tx, list->mixing_date, &night) ||
        !friction_seen_load(request->tx, &seen, &count))
        return false;
    out->measured = night.measured;
    out->temperatures = in_force(&night.temperatures, &day->catalogue.bakery.usual);
    out->mixes = amount_memory(&day->reckoning, list->mix_count, sizeof *out->mixes);
    if (out->mixes == NULL) return false;
    for (size_t i = 0; i < list->mix_count; i++)
        if (!mix_water_of(&day->reckoning, &list->mixes[i], &out->temperatures, seen, count,
                          &out->mixes[i]))
            return false;
    return true;
}
