/* /starters/{code}/log: what was done to a starter, and what was on hand after it. */
#include "store/starter_log.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/number.h"
#include "api/page.h"
#include "api/starter_feed.h"
#include "bakery/temperature.h"
#include "base/arena.h"
#include "base/decimal.h"

#include <inttypes.h>

enum { POT_HOTTEST_C = 60 * DEGREE };

/* --- writing --- */

static void write_batch(struct json_writer *json, const struct pot_entry *entry)
{
    if (entry->formula == NULL) {
        json_put_null(json, "batch");
        return;
    }
    json_open_object(json, "batch");
    json_put_date(json, "date", entry->mixing_date);
    json_put_text(json, "formula", entry->formula);
    json_put_whole(json, "batch", entry->batch);
    json_close(json);
}

static void write_entry(struct json_writer *json, const struct pot_entry *entry,
                        const struct zone *zone)
{
    bool fed = entry->kind == POT_FED;
    json_open_object(json, NULL);
    json_put_whole(json, "number", entry->number);
    json_put_text(json, "kind", pot_kinds[entry->kind]);
    json_put_instant(json, "at", entry->at, zone);
    json_put_instant(json, "entered_at", entry->entered_at, zone);
    json_put_text(json, "entered_by", entry->entered_by);
    json_put_decimal(json, "delta_g", entry->delta_mg, WEIGHT_PLACES);
    json_put_decimal(json, "on_hand_g", entry->on_hand_mg, WEIGHT_PLACES);
    json_put_decimal_or_null(json, "seed_g", entry->seed_mg, WEIGHT_PLACES, fed);
    json_put_decimal_or_null(json, "flour_g", entry->flour_mg, WEIGHT_PLACES, fed);
    json_put_decimal_or_null(json, "water_g", entry->water_mg, WEIGHT_PLACES, fed);
    json_put_decimal_or_null(json, "discard_g", pot_discard_mg(entry), WEIGHT_PLACES, fed);
    json_put_decimal_or_null(json, "c", entry->c, TEMPERATURE_PLACES, entry->has_c);
    json_put_whole_or_null(json, "reverses", entry->reverses, entry->reverses > 0);
    json_put_whole_or_null(json, "reversed_by", entry->reversed_by, entry->reversed_by > 0);
    json_put_text(json, "note", entry->note);
    json_put_whole_or_null(json, "movement", entry->movement, entry->movement > 0);
    write_batch(json, entry);
    json_close(json);
}

static bool answer(struct request *request, int status, const struct pot_entry *entry,
                   const struct zone *zone)
{
    write_entry(reply_json(request, status), entry, zone);
    reply_etag(request);
    return true;
}

/* --- entering --- */

static void read_feed(struct json_object *body, struct pot_request *entry)
{
    entry->has_seed = json_has(body, "seed_g");
    entry->seed_mg = json_decimal(body, "seed_g", JSON_OPTIONAL, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
    entry->flour_mg = json_decimal(body, "flour_g", JSON_REQUIRED, WEIGHT_PLACES, 1, WEIGHT_MAX, 1);
    entry->water_mg = json_decimal(body, "water_g", JSON_REQUIRED, WEIGHT_PLACES, 0, WEIGHT_MAX, 0);
}

static void read_temperature(struct json_object *body, struct pot_request *entry)
{
    entry->has_c = json_has(body, "c");
    entry->c = json_decimal(body, "c", JSON_OPTIONAL, TEMPERATURE_PLACES, TEMPERATURE_LEAST,
                            POT_HOTTEST_C, 0);
}

/* Each kind has its own members; any other is unknown. */
static void read_kind(struct json_object *body, struct pot_request *entry, struct feed_lots *lots)
{
    switch (entry->kind) {
    case POT_FED:
        read_feed(body, entry);
        read_temperature(body, entry);
        feed_lots_read(body, lots);
        break;
    case POT_CHILLED:
        read_temperature(body, entry);
        break;
    case POT_BEGUN:
    case POT_TAKEN:
    case POT_DISCARDED:
    case POT_WEIGHED:
        entry->mg = json_decimal(body, "g", JSON_REQUIRED, WEIGHT_PLACES,
                                 entry->kind != POT_WEIGHED, WEIGHT_MAX, 1);
        break;
    case POT_REVERSED:
        entry->reverses = json_whole(body, "reverses", JSON_REQUIRED, 1, INT32_MAX, 1);
        break;
    case POT_WOKEN:
    case POT_RIPE:
        break;
    }
}

static bool read_entry(struct request *request, struct pot_request *entry, struct feed_lots *lots,
                       bool *timed)
{
    struct json_node root;
    struct json_object body;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    entry->kind = (enum pot_kind)json_word(&body, "kind", JSON_REQUIRED, pot_kinds, POT_WOKEN);
    *timed = json_has(&body, "at");
    json_instant(&body, "at", JSON_OPTIONAL, &entry->at);
    read_kind(&body, entry, lots);
    entry->note = json_text(&body, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    return json_object_close(&body);
}

/* The entry that is to be reversed; *entry is NULL when there is none of that number. */
static bool find_reversed(struct request *request, const char *code, int64_t number,
                          const struct pot_entry **entry)
{
    struct starter_log_filter filter = {.number = number, .limit = 1};
    struct pot_entry *items;
    size_t count;
    *entry = NULL;
    if (number == 0) return true;
    if (!starter_log_select(request->tx, code, &filter, &items, &count)) return false;
    if (count > 0) *entry = &items[0];
    return true;
}

static bool hold_log(struct request *request, const char *code)
{
    bool found;
    if (!starter_log_lock(request->tx, code, &found)) return false;
    return found || fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no starter %s", code);
}

/* What is told without a time happens now; and after the last entry, which somebody else may have
 * entered while this one waited, or by a watch that is fast. */
static instant time_of_entry(const struct starter_pot *pot, instant now)
{
    bool later = pot->state.entries > 0 && pot->state.last_at > now;
    return later ? pot->state.last_at : now;
}

/* A taking of a batch is undone with its batch. */
static bool may_be_reversed(struct request *request, const struct pot_entry *reversed)
{
    if (reversed == NULL || reversed->formula == NULL || reversed->reversed_by > 0) return true;
    return fail_add(&request->fails, FAIL_INVALID, "/reverses",
                    "was taken for a batch: take that batch back instead");
}

/* Flour that was fed leaves the stock, and comes back with the reversal. */
static bool move_stock(struct request *request, const struct starter_pot *pot,
                       const struct pot_entry *entry, const struct feed_lots *lots)
{
    if (entry->kind == POT_FED) return starter_feed_take(request, pot, entry, lots);
    return entry->kind != POT_REVERSED ||
           starter_feed_give_back(request, pot->starter->code, entry->reverses);
}

bool post_starter_log(struct request *request)
{
    const char *code = request_param(request, "code");
    struct starter_pot pot;
    struct pot_request wanted = {0};
    struct feed_lots lots = {0};
    const struct pot_entry *reversed, *added;
    struct pot_entry entry;
    bool timed;
    if (!read_entry(request, &wanted, &lots, &timed) || !hold_log(request, code) ||
        !starter_pot_open(request, &pot) ||
        !find_reversed(request, code, wanted.reverses, &reversed) ||
        !may_be_reversed(request, reversed))
        return false;
    instant now = instant_now();
    if (!timed) wanted.at = time_of_entry(&pot, now);
    if (!pot_entry_of(&pot.day.reckoning, pot.starter, &pot.state, &wanted, reversed, now,
                      &entry) ||
        !starter_log_add(request->tx, code, &entry) || !move_stock(request, &pot, &entry, &lots) ||
        !find_reversed(request, code, entry.number, &added) || added == NULL)
        return false;
    reply_location(request, "/api/v1/starters/%s/log/%" PRId64, code, entry.number);
    return answer(request, 201, added, pot.day.reckoning.zone);
}

/* --- showing --- */

bool get_starter_log_entry(struct request *request)
{
    const char *number = request_param(request, "number");
    struct starter_pot pot;
    const struct pot_entry *entry = NULL;
    int64_t wanted = 0;
    if (!starter_pot_open(request, &pot)) return false;
    if (number_parse(number, &wanted) && !find_reversed(request, pot.starter->code, wanted, &entry))
        return false;
    if (entry != NULL) return answer(request, 200, entry, pot.day.reckoning.zone);
    return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no entry %s", number);
}

bool list_starter_log(struct request *request)
{
    struct starter_pot pot;
    struct page page;
    struct starter_log_filter filter = {0};
    struct pot_entry *entries;
    size_t count;
    if (!page_read_numbered(request, &page, &filter.before) || !starter_pot_open(request, &pot))
        return false;
    filter.limit = page.limit + 1;
    if (!starter_log_select(request->tx, pot.starter->code, &filter, &entries, &count))
        return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        if (!page_takes_number(request, &page, entries[i].number)) break;
        write_entry(json, &entries[i], pot.day.reckoning.zone);
    }
    page_close_items(request, &page);
    json_put_decimal(json, "on_hand_g", pot.state.on_hand_mg, WEIGHT_PLACES);
    page_end(request);
    return true;
}
