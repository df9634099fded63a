/* What is taken of the machines and of the cold. Used by schedule*.c only.
 *
 * The spans of a lane stand in the order of time and do not overlap. The levels of the cold stand
 * in the order of time; each holds until the next, before the first nothing is taken.
 */
#ifndef MORROWLOAF_BAKERY_SCHEDULE_FLOOR_H
#define MORROWLOAF_BAKERY_SCHEDULE_FLOOR_H

#include "bakery/schedule.h"

struct span {
    int64_t begins, ends;
    size_t job; /* SCHEDULE_NONE: preheating */
};

struct lane {
    struct span *spans;
    size_t count;
    size_t room;
};

struct level {
    int64_t from;
    int64_t taken;
};

struct schedule_floor {
    struct arena *arena;
    struct lane *lanes; /* per machine */
    size_t lane_count;
    struct level *levels;
    size_t level_count;
    size_t level_room;
    bool failed; /* memory was short: nothing on it counts any more */
};

bool floor_init(struct schedule_floor *all, struct arena *arena, size_t machines);
void floor_copy(struct schedule_floor *to, const struct schedule_floor *from);

/* The latest end, no later than ends, of something that lasts so long and has to keep the recovery
 * to both sides. */
int64_t lane_latest(const struct lane *lane, int64_t recovery, int64_t lasts, int64_t ends);
void floor_occupy(struct schedule_floor *all, size_t machine, struct span span);

/* The begin of the last stretch between from and to in which less than amount is left of the cold;
 * SCHEDULE_EVER: there is none. */
int64_t floor_full(const struct schedule_floor *all, int64_t limit, int64_t from, int64_t to,
                   int64_t amount);
void floor_cool(struct schedule_floor *all, int64_t from, int64_t to, int64_t amount);

#endif
