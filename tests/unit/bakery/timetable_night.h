/* Nights for the tests of the timetable: equipment in few words, and bakeries at random. */
#ifndef MORROWLOAF_TESTS_BAKERY_TIMETABLE_NIGHT_H
#define MORROWLOAF_TESTS_BAKERY_TIMETABLE_NIGHT_H

#include "bakery/timetable.h"
#include "random_world.h"

/* Stages named mix, cold and bake use the mixer, the cold and the oven. */
void dough(struct world *w, const char *code, const char *lines, const char *stages);
struct stage *the_stage(struct world *w, const char *code, const char *name);
void bake(struct world *w, const char *code, int64_t per_place, int64_t minutes);
void oven(struct world *w, const char *code, int64_t decks, int64_t places, int64_t preheat,
          int64_t recovery);
/* On all days of the week. */
void shift(struct world *w, const char *from, const char *to, int64_t hands);

/* Reckonings that must go well. */
struct timetable timetable_on(struct world *w, const char *day);
struct timetable timetable_moved(struct world *w, const char *day,
                                 const struct timetable_move *moves, size_t count);
/* The test fails when there is none. */
const struct task *the_task(const struct timetable *table, const char *id);
/* "22:40", of any day. */
const char *hour(const struct world *w, instant at);
size_t count_kind(const struct timetable *table, enum task_kind kind);
size_t count_breaks(const struct timetable *table, enum break_kind kind);

/* A bakery with orders for the day and those around it, the same for the same seed. */
struct world *random_night(uint64_t seed, date day);
/* A sound bakery that bakes so many loads on the day: three doughs, two of them with a levain. */
struct world *large_night(int64_t loads, const char *day);

#endif
