/* Warm enough, cold enough: the factors, the ice, and what a mixer is learnt to do.
 *
 * Invariants: everything is whole numbers; a figure that does not fit is told, never wrapped. The
 * ice is a fraction of two differences, the same in both scales, so that Fahrenheit is reckoned in
 * Fahrenheit and nothing is rounded on the way.
 */
#include "bakery/temperature.h"

#include "bakery/amount.h"
#include "base/fail.h"
#include "base/text.h"

#include <string.h>

enum {
    FREEZING_F = 32 * DEGREE,
    MELTING_C = 800000, /* a gram of ice melts by what a gram of water gives off over 80 C, */
    MELTING_F = MELTING_C / 5 * 9, /* which is 144 F */
    MISSING_TEXT_MAX = 400,
    FRICTIONS = 5,        /* so many of the last are looked at */
    FRICTIONS_ENOUGH = 3, /* so many of one formula tell more than the mixer's others */
    NEEDED = 4
};

static const int64_t RANGE = (int64_t)INT32_MAX * DEGREE;

/* --- scales --- */

/* value x numerator / denominator + plus, halves to even; held within int64_t. */
static int64_t converted(fixed value, int numerator, int denominator, fixed plus)
{
    fixed out;
    if (!fixed_muldiv(value, numerator, denominator, ROUND_HALF_EVEN, &out)) return 0;
    out += plus;
    return out > INT64_MAX ? INT64_MAX : out < INT64_MIN ? INT64_MIN : (int64_t)out;
}

int64_t celsius_of(int64_t fahrenheit)
{
    return converted((fixed)fahrenheit - FREEZING_F, 5, 9, 0);
}

int64_t fahrenheit_of(int64_t celsius)
{
    return converted(celsius, 9, 5, FREEZING_F);
}

int64_t celsius_difference_of(int64_t fahrenheit)
{
    return converted(fahrenheit, 5, 9, 0);
}

int64_t fahrenheit_difference_of(int64_t celsius)
{
    return converted(celsius, 9, 5, 0);
}

/* --- the water --- */

/* Every temperature but one, from all the others. */
static fixed left_of_factors(int64_t dough, int64_t first, int64_t second, int64_t third,
                             struct temperature preferment)
{
    fixed all = (fixed)dough * (preferment.known ? 4 : 3);
    return all - first - second - third - (preferment.known ? preferment.c : 0);
}

static bool in_range(int64_t temperature)
{
    return temperature >= -RANGE && temperature <= RANGE;
}

static bool all_in_range(const struct water_wanted *wanted)
{
    return in_range(wanted->dough) && in_range(wanted->flour) && in_range(wanted->room) &&
           in_range(wanted->friction) &&
           (!wanted->preferment.known || in_range(wanted->preferment.c)) &&
           (!wanted->tap.known || in_range(wanted->tap.c)) && wanted->water_mg >= 0;
}

/* A temperature of the Celsius scale in the scale that was asked for; exact for whole fives. */
static int64_t in_scale(const struct water_wanted *wanted, int64_t celsius)
{
    return wanted->fahrenheit ? fahrenheit_of(celsius) : celsius;
}

static void warn(const struct water_wanted *wanted, struct water *out)
{
    if (out->temperature > in_scale(wanted, WATER_HOTTEST_C)) out->warnings |= WATER_TOO_HOT;
    if (out->temperature < in_scale(wanted, 0)) out->warnings |= WATER_BELOW_ICE;
    if (!wanted->tap.known && out->temperature < in_scale(wanted, TAP_MAY_BE_C))
        out->warnings |= WATER_NO_TAP;
}

/* How much of the water is ice: (tap - target) / (tap + what melting takes), as a fraction. */
static bool add_ice(const struct water_wanted *wanted, struct water *out)
{
    int64_t warmth = wanted->fahrenheit ? wanted->tap.c - FREEZING_F : wanted->tap.c;
    fixed takes = (fixed)warmth + (wanted->fahrenheit ? MELTING_F : MELTING_C);
    fixed gives = (fixed)wanted->tap.c - out->temperature;
    fixed share = 0, ice = 0;
    out->has_ice = true;
    if (gives > 0) {
        if (takes <= 0) return false;
        if (gives > takes) {
            out->warnings |= WATER_ALL_ICE;
            gives = takes;
        }
        if (!fixed_muldiv(gives, PERCENT_WHOLE, takes, ROUND_HALF_EVEN, &share) ||
            !fixed_muldiv(wanted->water_mg, gives, takes, ROUND_HALF_EVEN, &ice))
            return false;
    }
    out->ice_share = (int64_t)share;
    out->ice_mg = (int64_t)ice;
    out->tap_mg = wanted->water_mg - out->ice_mg;
    return true;
}

bool water_for(const struct water_wanted *wanted, struct water *out)
{
    *out = (struct water){.tap_mg = wanted->water_mg};
    if (!all_in_range(wanted)) return false;
    out->temperature = (int64_t)left_of_factors(wanted->dough, wanted->flour, wanted->room,
                                                wanted->friction, wanted->preferment);
    warn(wanted, out);
    return !wanted->tap.known || add_ice(wanted, out);
}

int64_t friction_of(int64_t dough, int64_t flour, int64_t room, int64_t water,
                    struct temperature preferment)
{
    return converted(left_of_factors(dough, flour, room, water, preferment), 1, 1, 0);
}

/* --- what was learnt --- */

static bool same_code(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

/* The newest frictions of that mixer, and of that formula unless it is NULL. */
static size_t newest(const struct friction_seen *seen, size_t count, const char *formula,
                     const char *mixer, int64_t out[FRICTIONS])
{
    size_t found = 0;
    for (size_t i = 0; i < count && found < FRICTIONS; i++)
        if (same_code(seen[i].mixer, mixer) && (!formula || same_code(seen[i].formula, formula)))
            out[found++] = seen[i].friction_c;
    return found;
}

/* The middle one; of an even count the mean of the two middle ones, half to even. */
static int64_t median(int64_t *values, size_t count)
{
    for (size_t i = 1; i < count; i++)
        for (size_t k = i; k > 0 && values[k - 1] > values[k]; k--) {
            int64_t lower = values[k];
            values[k] = values[k - 1];
            values[k - 1] = lower;
        }
    if (count % 2 == 1) return values[count / 2];
    return converted((fixed)values[count / 2 - 1] + values[count / 2], 1, 2, 0);
}

struct temperature friction_learnt(const struct friction_seen *seen, size_t count,
                                   const char *formula, const struct mixer *mixer)
{
    const char *code = mixer ? mixer->code : NULL;
    int64_t values[FRICTIONS];
    size_t found = formula ? newest(seen, count, formula, code, values) : 0;
    if (found < FRICTIONS_ENOUGH) found = newest(seen, count, NULL, code, values);
    if (found > 0) return (struct temperature){true, median(values, found)};
    if (mixer && mixer->has_friction) return (struct temperature){true, mixer->friction_c};
    return (struct temperature){0};
}

/* --- the water of a mix --- */

struct needed {
    bool known;
    const char *words;
};

/* What is not known, in a list of words. */
static bool tell_missing(const struct reckoning *reckoning, const struct needed needed[NEEDED],
                         struct mix_water *out)
{
    struct text text;
    text_init(&text, reckoning->arena, MISSING_TEXT_MAX);
    for (size_t i = 0; i < NEEDED; i++)
        if (!needed[i].known)
            text_addf(&text, "%s%s", text.length > 0 ? ", " : "", needed[i].words);
    if (!text_ok(&text)) return fail_memory(reckoning->fails);
    if (text.length > 0) out->missing = text.data;
    return true;
}

static struct temperature measured(struct temperature tonight, struct temperature usual)
{
    return tonight.known ? tonight : usual;
}

/* Whether a line brings fermented flour along, whose temperature counts like the flour's. */
static bool is_preferment(const struct reckoning *reckoning, const struct line *line)
{
    if (line->kind != LINE_FORMULA) return line->kind == LINE_STARTER;
    const struct breakdown *part = &reckoning->breakdowns->items[line->index];
    return part->lines && part->flour > 0;
}

static bool look_at_lines(const struct reckoning *reckoning, const struct mix *mix,
                          struct mix_water *out)
{
    const struct catalogue *catalogue = reckoning->catalogue;
    size_t count = catalogue->formulas[mix->formula].line_count;
    for (size_t n = 0; n < count; n++) {
        const struct line *line = mix->lines[n].line;
        if (is_preferment(reckoning, line)) out->with_preferment = true;
        if (line->kind == LINE_INGREDIENT &&
            catalogue->ingredients[line->index].kind == KIND_WATER &&
            !amount_add_whole(reckoning, &out->water_mg, mix->lines[n].weigh_mg))
            return false;
    }
    return true;
}

static struct water_wanted wanted_of(const struct reckoning *reckoning,
                                     const struct formula *formula,
                                     const struct temperatures *night, const struct mix_water *mix)
{
    const struct temperatures *usual = &reckoning->catalogue->bakery.usual;
    struct temperature room = measured(night->room, usual->room);
    struct temperature preferment = measured(measured(night->preferment, usual->preferment), room);
    preferment.known = preferment.known && mix->with_preferment;
    return (struct water_wanted){.dough = formula->dough_c,
                                 .flour = measured(night->flour, usual->flour).c,
                                 .room = room.c,
                                 .friction = mix->friction_c,
                                 .preferment = preferment,
                                 .tap = measured(night->tap, usual->tap),
                                 .water_mg = mix->water_mg};
}

bool mix_water_of(const struct reckoning *reckoning, const struct mix *mix,
                  const struct temperatures *night, const struct friction_seen *seen,
                  size_t seen_count, struct mix_water *out)
{
    const struct formula *formula = &reckoning->catalogue->formulas[mix->formula];
    const struct temperatures *usual = &reckoning->catalogue->bakery.usual;
    struct temperature friction = friction_learnt(seen, seen_count, formula->code, mix->mixer);
    *out = (struct mix_water){.friction_c = friction.c};
    if (!look_at_lines(reckoning, mix, out)) return false;
    if (out->water_mg == 0) {
        out->missing = "water among its lines";
        return true;
    }
    const struct needed needed[NEEDED] = {
        {formula->has_dough_c, "the formula's dough temperature"},
        {measured(night->flour, usual->flour).known, "the flour's temperature"},
        {measured(night->room, usual->room).known, "the room's temperature"},
        {friction.known, "how much mixing warms the dough"}};
    if (!tell_missing(reckoning, needed, out)) return false;
    if (out->missing) return true;
    struct water_wanted wanted = wanted_of(reckoning, formula, night, out);
    out->known = water_for(&wanted, &out->water);
    return out->known || amount_too_large(reckoning);
}
