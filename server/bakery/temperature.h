/* How warm the water must be for a dough of the desired temperature, and the ice when the tap is
 * not cold enough.
 *
 * Temperatures are 1/10,000 of a degree. Desired dough temperature by factors (San Francisco Baking
 * Institute, Artisan I, 2009; T. Lehmann, Pizza Today, June 2018):
 *     water = factors x dough - flour - room - friction [- preferment]
 * with 3 factors, or 4 when a preferment or starter goes in. Friction is a difference: it converts
 * between scales without the 32 degrees. Ice replaces part of the water and warms to its
 * temperature by what the rest gives off: ice / water = (tap - target) / (tap + 80) in degrees
 * Celsius, (tap - target) / (tap + 112) in Fahrenheit: the trade's tables reckon with 80 calories
 * to melt a gram of ice, which is within half a percent of the 79.7 of the handbooks.
 */
#ifndef MORROWLOAF_BAKERY_TEMPERATURE_H
#define MORROWLOAF_BAKERY_TEMPERATURE_H

#include "bakery/mixing.h"

enum {
    DEGREE = 10000,
    TEMPERATURE_LEAST = -40 * DEGREE, /* what may be entered, in degrees Celsius */
    TEMPERATURE_MOST = 400 * DEGREE,
    WATER_HOTTEST_C = 40 * DEGREE, /* hotter water harms the starter: no growth at 41 */
    TAP_MAY_BE_C = 20 * DEGREE     /* colder than that, the tap may well not be */
};

/* 1/10,000 of a degree Fahrenheit to Celsius and back, rounded half to even; a temperature, and a
 * difference of temperatures. */
int64_t celsius_of(int64_t fahrenheit);
int64_t fahrenheit_of(int64_t celsius);
int64_t celsius_difference_of(int64_t fahrenheit);
int64_t fahrenheit_difference_of(int64_t celsius);

/* All in one scale, told by fahrenheit; no range is assumed but that of int32_t degrees. */
struct water_wanted {
    bool fahrenheit;
    int64_t dough, flour, room, friction;
    struct temperature preferment; /* known: 4 factors */
    struct temperature tap;
    int64_t water_mg; /* 0: no weights asked for */
};

enum water_warning {
    WATER_TOO_HOT = 1,   /* over WATER_HOTTEST_C */
    WATER_BELOW_ICE = 2, /* it would have to be below freezing: even ice water is too warm */
    WATER_NO_TAP = 4,    /* colder than TAP_MAY_BE_C, and the tap was not measured */
    WATER_ALL_ICE = 8    /* more ice than water would be needed: cool the flour instead. The
                            answer is then all of the water as ice */
};

struct water {
    int64_t temperature; /* in the scale asked for, exact */
    bool has_ice;        /* the tap was measured */
    int64_t ice_share; /* of the water's weight, in PERCENT_PLACES percent, rounded half to even */
    int64_t ice_mg;    /* rounded half to even; 0 when the tap is no warmer than wanted */
    int64_t tap_mg;    /* water_mg - ice_mg */
    unsigned warnings; /* of enum water_warning */
};

/* False when the figures are out of all range: temperatures beyond int32_t degrees, less water than
 * none, or ice asked for of a tap of -80 C and below. The weights are exact in both scales: the
 * same temperatures give the same ice to the milligram wherever the conversion itself is exact. */
bool water_for(const struct water_wanted *wanted, struct water *out);

/* By how many degrees the mixer warmed a dough: factors x dough - flour - room - water
 * [- preferment], in the scale of the figures. */
int64_t friction_of(int64_t dough, int64_t flour, int64_t room, int64_t water,
                    struct temperature preferment);

/* A dough temperature that was logged. */
struct friction_seen {
    const char *formula;
    const char *mixer;
    int64_t friction_c;
};

/* What the mixer does to a dough of that formula, learnt from what was logged, newest first: the
 * median of its last five in that mixer when there are three of them, else the median of the last
 * five of any dough in that mixer; when nothing was logged, what the mixer's entry says. mixer
 * NULL: what was logged without a mixer. */
struct temperature friction_learnt(const struct friction_seen *seen, size_t count,
                                   const char *formula, const struct mixer *mixer);

/* The water of one batch of a mix. */
struct mix_water {
    bool known;          /* dough, flour, room and friction are, and there is water to warm */
    const char *missing; /* all that is not, in words; static or arena; NULL when known */
    int64_t friction_c;
    bool with_preferment; /* 4 factors */
    int64_t water_mg;     /* of one batch, as weighed: all lines of kind water */
    struct water water;
};

/* Needs the mix of a list. Four factors when a line is a starter or a formula that holds flour. The
 * usual temperature stands in for what is not measured; the preferment's is then the room's. False
 * on overflow. */
bool mix_water_of(const struct reckoning *reckoning, const struct mix *mix,
                  const struct temperatures *night, const struct friction_seen *seen,
                  size_t seen_count, struct mix_water *out);

#endif
