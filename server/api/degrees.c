/* Temperatures in either unit. */
#include "api/degrees.h"

#include "bakery/temperature.h"
#include "base/arena.h"
#include "base/decimal.h"

enum {
    LEAST_C = -100 * DEGREE,
    MOST_C = 400 * DEGREE,
    DIFFERENCE_C = 100 * DEGREE,
};

static const char *member(struct json_object *body, const char *name, bool fahrenheit)
{
    const char *whole = arena_printf(body->node.arena, "%s_%c", name, fahrenheit ? 'f' : 'c');
    return whole != NULL ? whole : ""; /* the arena remembers that memory was short */
}

const char *degrees_member(const struct degrees *degrees, const char *name)
{
    return member(degrees->body, name, degrees->fahrenheit);
}

void degrees_open(struct degrees *degrees, struct json_object *body, const char *const *names)
{
    bool celsius = false;
    *degrees = (struct degrees){.body = body};
    for (const char *const *name = names; *name != NULL && !celsius; name++) {
        celsius = json_has(body, member(body, *name, false));
        degrees->fahrenheit = !celsius && json_has(body, member(body, *name, true));
        if (degrees->fahrenheit) break;
    }
    for (const char *const *name = names; *name != NULL; name++) {
        const char *other = member(body, *name, !degrees->fahrenheit);
        if (json_has(body, other))
            json_fault(body, other, "must be in the same unit as the other temperatures");
    }
}

struct temperature degrees_read(struct degrees *degrees, const char *name, enum json_need need)
{
    const char *whole = degrees_member(degrees, name);
    int64_t least = degrees->fahrenheit ? fahrenheit_of(LEAST_C) : LEAST_C;
    int64_t most = degrees->fahrenheit ? fahrenheit_of(MOST_C) : MOST_C;
    struct temperature out = {.known = json_has(degrees->body, whole)};
    out.c = json_decimal(degrees->body, whole, need, TEMPERATURE_PLACES, least, most, 0);
    return out;
}

int64_t degrees_read_difference(struct degrees *degrees, const char *name, enum json_need need)
{
    int64_t most = degrees->fahrenheit ? fahrenheit_difference_of(DIFFERENCE_C) : DIFFERENCE_C;
    return json_decimal(degrees->body, degrees_member(degrees, name), need, TEMPERATURE_PLACES,
                        -most, most, 0);
}
