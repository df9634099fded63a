/* Entries in the logs of starters that batches make. */
#include "api/starter_taking.h"

#include "api/starter_pot.h"
#include "bakery/catalogue.h"
#include "base/arena.h"
#include "base/decimal.h"
#include "http/request.h"
#include "store/starter_log.h"

/* Times in a log never go back. */
static instant time_in_log(const struct pot_state *state, instant at)
{
    return state->entries > 0 && state->last_at > at ? state->last_at : at;
}

static bool too_little(struct request *request, const char *pointer, const struct starter *starter,
                       int64_t on_hand_mg)
{
    char text[DECIMAL_TEXT_SIZE];
    decimal_print(text, on_hand_mg, WEIGHT_PLACES, 0);
    return fail_add(&request->fails, FAIL_INVALID, pointer, "there are only %s g of %s in its pot",
                    text, starter->name);
}

static bool enter(struct request *request, const struct day *day, const struct starter *starter,
                  const struct pot_state *state, const struct pot_request *wanted,
                  const struct pot_entry *reversed, struct pot_entry *entry)
{
    return pot_entry_of(&day->reckoning, starter, state, wanted, reversed, wanted->at, entry) &&
           starter_log_add(request->tx, starter->code, entry);
}

bool starter_taking_add(struct request *request, const struct day *day, size_t starter, int64_t mg,
                        instant at, const char *note, const char *pointer, int64_t *entry)
{
    const struct starter *of = &day->catalogue.starters[starter];
    struct pot_state state;
    struct pot_entry made;
    *entry = 0;
    if (!starter_pot_state(request, &day->reckoning, of->code, &state)) return false;
    if (state.entries == 0 || mg == 0) return true;
    if (state.on_hand_mg < mg) return too_little(request, pointer, of, state.on_hand_mg);
    struct pot_request wanted = {
        .kind = POT_TAKEN, .at = time_in_log(&state, at), .mg = mg, .note = note};
    if (!enter(request, day, of, &state, &wanted, NULL, &made)) return false;
    *entry = made.number;
    return true;
}

bool starter_taking_reverse(struct request *request, const struct day *day, const char *starter,
                            int64_t entry, const char *note)
{
    const struct starter *of =
        &day->catalogue.starters[catalogue_starter(&day->catalogue, starter)];
    struct starter_log_filter filter = {.number = entry, .limit = 1};
    struct pot_entry *reversed, made;
    struct pot_state state;
    size_t count;
    bool found;
    if (!starter_log_lock(request->tx, starter, &found) ||
        !starter_pot_state(request, &day->reckoning, starter, &state) ||
        !starter_log_select(request->tx, starter, &filter, &reversed, &count))
        return false;
    struct pot_request wanted = {.kind = POT_REVERSED,
                                 .at = time_in_log(&state, instant_now()),
                                 .reverses = entry,
                                 .note = note};
    return enter(request, day, of, &state, &wanted, count > 0 ? reversed : NULL, &made);
}
