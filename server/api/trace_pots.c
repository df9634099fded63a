/* Starters in a trace.
 *
 * Of a log that is years long a part is enough: forwards until nothing of the lot is left in the
 * pot, backwards until nothing from before the part is in what was taken. A part that proves too
 * short is taken anew, twice as long.
 */
#include "api/trace_pots.h"

#include "bakery/amount.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/trace.h"

#include <stdlib.h>
#include <string.h>

enum { REACH_FIRST = 500 }; /* entries: some weeks of a busy starter */

/* --- forwards --- */

/* One starter and reach per run of feeds; returns how many. */
static size_t group_feeds(const struct trace_feed *feeds, size_t feed_count,
                          struct trace_starter *starters, struct trace_reach *reaches)
{
    size_t count = 0;
    for (size_t i = 0; i < feed_count; i++) {
        if (i == 0 || strcmp(feeds[i - 1].starter, feeds[i].starter) != 0) {
            starters[count] = (struct trace_starter){.starter = feeds[i].starter};
            reaches[count++] = (struct trace_reach){.starter = feeds[i].starter,
                                                    .first = feeds[i].entry};
        }
        starters[count - 1].fed_mg += feeds[i].mg;
        reaches[count - 1].last = feeds[i].entry + REACH_FIRST;
    }
    return count;
}

/* The feeds of the lot as the pot sees them, with where those of a starter begin. */
static struct pot_feed_lot *lot_feeds(const struct day *day, int64_t lot,
                                      const struct trace_feed *feeds, size_t count)
{
    struct pot_feed_lot *lots = amount_memory(&day->reckoning, count, sizeof *lots);
    for (size_t i = 0; lots != NULL && i < count; i++)
        lots[i] = (struct pot_feed_lot){feeds[i].entry, lot, feeds[i].mg};
    return lots;
}

static void give_feeds(const struct trace_feed *feeds, const struct pot_feed_lot *lots,
                       size_t feed_count, const struct trace_reach *reaches,
                       struct pot_stretch *stretches)
{
    size_t at = 0;
    for (size_t i = 0; i < feed_count; i++) {
        if (i > 0 && strcmp(feeds[i - 1].starter, feeds[i].starter) != 0) at++;
        if (reaches[at].first == feeds[i].entry) stretches[at].feeds = &lots[i];
        stretches[at].feed_count++;
    }
}

/* Follows the lot through every stretch; *whole: it is left in none that ends before its log. */
static bool follow(const struct day *day, int64_t lot, struct trace_reach *reaches,
                   const struct pot_stretch *stretches, struct trace_starter *starters,
                   size_t count, bool *whole)
{
    *whole = true;
    for (size_t i = 0; i < count; i++) {
        struct pot_carried *entries;
        if (!pot_lot_goes(&day->reckoning, &stretches[i], lot, &entries, &starters[i].entry_count,
                          &starters[i].still_in))
            return false;
        starters[i].entries = entries;
        int64_t wanted = reaches[i].last - reaches[i].first + 1;
        if (starters[i].still_in == 0 || (int64_t)stretches[i].count < wanted) continue;
        reaches[i].last += wanted;
        *whole = false;
    }
    return true;
}

bool trace_pots_forward(struct request *request, const struct day *day, int64_t lot,
                        const struct trace_feed *feeds, size_t feed_count,
                        struct trace_starter **starters, size_t *count)
{
    const struct reckoning *reckoning = &day->reckoning;
    struct trace_reach *reaches = amount_memory(reckoning, feed_count, sizeof *reaches);
    struct pot_stretch *stretches = amount_memory(reckoning, feed_count, sizeof *stretches);
    const struct pot_feed_lot *lots = lot_feeds(day, lot, feeds, feed_count);
    bool whole = false;
    *starters = amount_memory(reckoning, feed_count, sizeof **starters);
    if (!reaches || !stretches || !lots || !*starters) return false;
    *count = group_feeds(feeds, feed_count, *starters, reaches);
    while (*count > 0 && !whole) {
        if (!trace_stretches_load(request->tx, reaches, *count, stretches)) return false;
        give_feeds(feeds, lots, feed_count, reaches, stretches);
        if (!follow(day, lot, reaches, stretches, *starters, *count, &whole)) return false;
    }
    for (size_t i = 0; i < *count; i++)
        if (!trace_starter_sums(reckoning, &(*starters)[i])) return false;
    return true;
}

/* --- backwards --- */

/* The takings that lines name, each once. */
static struct flow_taking *named_takings(const struct day *day, const struct flow *flow,
                                         size_t *count)
{
    struct flow_taking *takings = amount_memory(&day->reckoning, flow->line_count, sizeof *takings);
    size_t found = 0;
    *count = 0;
    if (takings == NULL) return NULL;
    for (size_t i = 0; i < flow->line_count; i++)
        if (flow->lines[i].kind == LINE_STARTER && flow->lines[i].log_entry > 0)
            takings[found++] = (struct flow_taking){.starter = flow->lines[i].code,
                                                    .taken = {.entry = flow->lines[i].log_entry}};
    qsort(takings, found, sizeof *takings, flow_taking_order);
    for (size_t i = 0; i < found; i++)
        if (*count == 0 || flow_taking_order(&takings[*count - 1], &takings[i]) != 0)
            takings[(*count)++] = takings[i];
    return takings;
}

/* The takings of one starter. */
struct run {
    struct flow_taking *takings;
    size_t count;
};

static size_t group_takings(struct flow_taking *takings, size_t count, struct run *runs,
                            struct trace_reach *reaches)
{
    size_t run_count = 0;
    for (size_t i = 0; i < count; i++) {
        int64_t entry = takings[i].taken.entry;
        if (i == 0 || strcmp(takings[i - 1].starter, takings[i].starter) != 0) {
            runs[run_count] = (struct run){.takings = &takings[i]};
            reaches[run_count++] = (struct trace_reach){
                .starter = takings[i].starter,
                .first = entry > REACH_FIRST ? entry - REACH_FIRST : 1};
        }
        runs[run_count - 1].count++;
        reaches[run_count - 1].last = entry;
    }
    return run_count;
}

/* What the takings of one starter took; *whole: the stretch was long enough. */
static bool work_out(const struct day *day, const struct run *run,
                     const struct pot_stretch *stretch, bool *whole)
{
    const struct reckoning *reckoning = &day->reckoning;
    int64_t *entries = amount_memory(reckoning, run->count, sizeof *entries);
    struct pot_taken *taken = amount_memory(reckoning, run->count, sizeof *taken);
    if (!entries || !taken) return false;
    for (size_t i = 0; i < run->count; i++)
        entries[i] = run->takings[i].taken.entry;
    if (!pot_lots_taken(reckoning, stretch, entries, run->count, taken, whole)) return false;
    for (size_t i = 0; i < run->count; i++)
        run->takings[i].taken = taken[i];
    return true;
}

static bool work_all_out(const struct day *day, const struct run *runs, size_t count,
                         const struct pot_stretch *stretches, struct trace_reach *reaches,
                         bool *all_whole)
{
    *all_whole = true;
    for (size_t i = 0; i < count; i++) {
        bool whole;
        if (!work_out(day, &runs[i], &stretches[i], &whole)) return false;
        if (whole || reaches[i].first == 1) continue;
        int64_t length = reaches[i].last - reaches[i].first + 1;
        reaches[i].first = reaches[i].first > length ? reaches[i].first - length : 1;
        *all_whole = false;
    }
    return true;
}

bool trace_pots_backward(struct request *request, const struct day *day, struct flow *flow)
{
    const struct reckoning *reckoning = &day->reckoning;
    size_t count;
    struct flow_taking *takings = named_takings(day, flow, &count);
    if (takings == NULL) return false;
    struct run *runs = amount_memory(reckoning, count, sizeof *runs);
    struct trace_reach *reaches = amount_memory(reckoning, count, sizeof *reaches);
    struct pot_stretch *stretches = amount_memory(reckoning, count, sizeof *stretches);
    bool whole = false;
    if (!runs || !reaches || !stretches) return false;
    size_t run_count = group_takings(takings, count, runs, reaches);
    while (run_count > 0 && !whole)
        if (!trace_stretches_load(request->tx, reaches, run_count, stretches) ||
            !trace_pot_feeds_load(request->tx, reaches, run_count, stretches) ||
            !work_all_out(day, runs, run_count, stretches, reaches, &whole))
            return false;
    flow->takings = takings;
    flow->taking_count = count;
    return true;
}
