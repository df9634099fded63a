/* How long work on machines must take at the least. */
#include "bakery/schedule.h"

#include <stdlib.h>

static int by_tail(const void *left, const void *right)
{
    const struct schedule_work *a = left;
    const struct schedule_work *b = right;
    if (a->tail != b->tail) return a->tail > b->tail ? -1 : 1;
    return (a->head > b->head) - (a->head < b->head);
}

/* The bound over the work with no less than that head, for every least tail. On so many machines
 * all but one piece of work each is preceded by a recovery. */
static int64_t bound_from(const struct schedule_work *work, size_t count, int64_t machines,
                          int64_t recovery, int64_t head)
{
    int64_t longest = 0;
    int64_t sum = 0;
    int64_t pieces = 0;
    for (size_t n = 0; n < count; n++) {
        if (work[n].head < head || work[n].lasts == 0) continue;
        sum += work[n].lasts;
        int64_t recoveries = ++pieces > machines ? recovery * (pieces - machines) : 0;
        int64_t through = head + (sum + recoveries + machines - 1) / machines + work[n].tail;
        if (through > longest) longest = through;
    }
    return longest;
}

int64_t schedule_bound(struct schedule_work *work, size_t count, size_t machines, int64_t recovery)
{
    int64_t longest = 0;
    if (count == 0 || machines == 0) return 0;
    qsort(work, count, sizeof *work, by_tail);
    for (size_t n = 0; n < count; n++) {
        int64_t bound = bound_from(work, count, (int64_t)machines, recovery, work[n].head);
        if (bound > longest) longest = bound;
    }
    return longest;
}
