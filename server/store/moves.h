/* What was moved by hand in the timetables of bread days. */
#ifndef MORROWLOAF_STORE_MOVES_H
#define MORROWLOAF_STORE_MOVES_H

#include "bakery/timetable.h"

struct tx;

/* Moves of the bread days first to last, by day and task. */
bool moves_select(struct tx *tx, date first, date last, struct timetable_move **items,
                  size_t *count);
/* The revision of a day's moves; 0: never moved. */
bool moves_revision(struct tx *tx, date bread_day, int64_t *revision);
/* Replaces all moves of a day; sets the new revision. */
bool moves_put(struct tx *tx, date bread_day, const struct timetable_move *items, size_t count,
               int64_t *revision);

#endif
