/* Loads the demo bakery from deploy/demo.json: requests as anybody could send them, and each
 * customer's usual orders, spread over three weeks around today; what came into the flour store and
 * was used of it; and what was done to the starters in the last days, up to now.
 *
 * The file's "first" requests, the bakery's settings foremost, come before the orders and the logs,
 * its "last" ones after the orders, the very last of them at the end of all. Loading is safe to
 * repeat: requests are PUTs, everything else carries an Idempotency-Key of what it is and of its
 * date or time. It is complete when the very last request has been performed, and is then refused.
 * A "last" request with days_ago is about the day so many days before today: that date is put at
 * the end of its path.
 */
#include "demo.h"

#include "base/arena.h"
#include "base/log.h"
#include "base/zone.h"
#include "commands.h"
#include "demo_stock.h"
#include "http/secret.h"
#include "local.h"
#include "settings.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum {
    FILE_CAP = 1024 * 1024,
    BODY_CAP = 64 * 1024,
    ITEMS_MAX = 10000,
    STEP_DAYS_MOST = 3660,
    LOG_DAYS_MOST = 30,
    DAYS_BEFORE = 15, /* orders from that many days before today */
    DAYS_AFTER = 7    /* to that many after */
};

struct step {
    const char *method;
    const char *path;
    const char *body;
    int64_t days_ago; /* -1: its path is whole */
};

struct steps {
    struct step *items;
    size_t count;
};

/* A customer's usual order. */
struct usual {
    const char *customer;
    bool weekdays[8]; /* 1 Monday … 7 Sunday */
    struct usual_line {
        const char *product;
        int64_t pieces;
    } * lines;
    size_t line_count;
};

/* An entry of a starter's log, at a clock time of some days ago, if that was on one of the
 * weekdays. */
struct done {
    const char *starter;
    int64_t days_ago;
    bool weekdays[8];
    int minutes;
    const char *body; /* a JSON object without its time */
};

struct demo {
    struct arena *arena; /* holds the file's contents */
    struct fails fails;  /* of the file */
    struct local local;
    struct steps first;
    struct usual *usuals;
    size_t usual_count;
    struct done *log;
    size_t log_count;
    struct demo_stock stock;
    struct steps last;
};

/* --- the file --- */

static const char *read_file(struct arena *arena, const char *path)
{
    char buffer[4096];
    struct text text;
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        log_error("%s cannot be read", path);
        return NULL;
    }
    text_init(&text, arena, FILE_CAP);
    for (size_t n; (n = fread(buffer, 1, sizeof buffer, file)) > 0;)
        text_add(&text, buffer, n);
    bool whole = ferror(file) == 0 && text_ok(&text);
    fclose(file);
    if (!whole) log_error("%s cannot be read whole", path);
    return whole ? text.data : NULL;
}

static void read_step(struct json_node item, struct step *step)
{
    struct json_object in;
    struct json_object body;
    json_object_open(&in, item);
    step->method = json_text(&in, "method", JSON_REQUIRED, 10);
    step->path = json_text(&in, "path", JSON_REQUIRED, NAME_MAX_CHARACTERS);
    step->days_ago = json_whole(&in, "days_ago", JSON_OPTIONAL, 0, STEP_DAYS_MOST, -1);
    if (json_object_member(&in, "body", JSON_REQUIRED, &body)) step->body = json_dump(&body.node);
    json_object_close(&in);
}

static void read_steps(struct demo *demo, struct json_object *file, const char *name,
                       struct steps *steps)
{
    struct json_list list;
    struct json_node item;
    json_list_member(file, name, JSON_REQUIRED, 1, ITEMS_MAX, &list);
    steps->items = arena_array(demo->arena, list.length, sizeof *steps->items);
    if (steps->items == NULL) return;
    while (json_list_next(&list, &item))
        read_step(item, &steps->items[steps->count++]);
}

static void read_lines(struct demo *demo, struct json_object *in, struct usual *usual)
{
    struct json_list list;
    struct json_node item;
    json_list_member(in, "lines", JSON_REQUIRED, 1, ITEMS_MAX, &list);
    usual->lines = arena_array(demo->arena, list.length, sizeof *usual->lines);
    if (usual->lines == NULL) return;
    while (json_list_next(&list, &item)) {
        struct json_object line;
        json_object_open(&line, item);
        usual->lines[usual->line_count++] = (struct usual_line){
            .product = json_code(&line, "product", JSON_REQUIRED),
            .pieces = json_whole(&line, "pieces", JSON_REQUIRED, 1, 10000, 1),
        };
        json_object_close(&line);
    }
}

static void read_usual(struct demo *demo, struct json_node item, struct usual *usual)
{
    struct json_object in;
    json_object_open(&in, item);
    usual->customer = json_code(&in, "customer", JSON_REQUIRED);
    demo_weekdays_read(json_text(&in, "weekdays", JSON_REQUIRED, 7), usual->weekdays);
    read_lines(demo, &in, usual);
    json_object_close(&in);
}

static void read_usuals(struct demo *demo, struct json_object *file)
{
    struct json_list list;
    struct json_node item;
    json_list_member(file, "orders", JSON_REQUIRED, 1, ITEMS_MAX, &list);
    demo->usuals = arena_array(demo->arena, list.length, sizeof *demo->usuals);
    if (demo->usuals == NULL) return;
    while (json_list_next(&list, &item))
        read_usual(demo, item, &demo->usuals[demo->usual_count++]);
}

static void read_done(struct json_node item, struct done *done)
{
    struct json_object in;
    struct json_object body;
    json_object_open(&in, item);
    done->starter = json_code(&in, "starter", JSON_REQUIRED);
    done->days_ago = json_whole(&in, "days_ago", JSON_REQUIRED, 0, LOG_DAYS_MOST, 0);
    json_clock(&in, "at", JSON_REQUIRED, &done->minutes);
    const char *days = json_text(&in, "weekdays", JSON_OPTIONAL, 7);
    demo_weekdays_read(days != NULL ? days : "1234567", done->weekdays);
    if (json_object_member(&in, "body", JSON_REQUIRED, &body)) done->body = json_dump(&body.node);
    json_object_close(&in);
}

static void read_log(struct demo *demo, struct json_object *file)
{
    struct json_list list;
    struct json_node item;
    json_list_member(file, "log", JSON_REQUIRED, 1, ITEMS_MAX, &list);
    demo->log = arena_array(demo->arena, list.length, sizeof *demo->log);
    if (demo->log == NULL) return;
    while (json_list_next(&list, &item))
        read_done(item, &demo->log[demo->log_count++]);
}

static bool read_demo(struct demo *demo, const char *path)
{
    struct json_node root;
    struct json_object file;
    const char *text = read_file(demo->arena, path);
    if (text == NULL) return false;
    if (json_parse(demo->arena, &demo->fails, text, strlen(text), &root)) {
        json_object_open(&file, root);
        json_text(&file, "about", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
        read_steps(demo, &file, "first", &demo->first);
        read_usuals(demo, &file);
        read_log(demo, &file);
        demo_stock_read(&file, &demo->stock);
        read_steps(demo, &file, "last", &demo->last);
        json_object_close(&file);
    }
    for (size_t i = 0; i < demo->fails.count; i++)
        log_error("%s: %s: %s", path, demo->fails.items[i].path, demo->fails.items[i].text);
    return !fails_any(&demo->fails) && !arena_failed(demo->arena);
}

/* --- performing --- */

/* Each call has an arena of its own, so that the whole load needs no more than one. */
static bool send(struct demo *demo, const struct local_call *call)
{
    struct arena *arena = arena_new(0);
    bool done = arena != NULL && local_demand(&demo->local, arena, call) != NULL;
    arena_free(arena);
    return done;
}

/* NULL when memory is short. */
static const char *step_path(struct demo *demo, const struct step *step, date today)
{
    char day[DATE_TEXT_SIZE];
    if (step->days_ago < 0) return step->path;
    date_print(day, today - (date)step->days_ago);
    return arena_printf(demo->arena, "%s/%s", step->path, day);
}

static bool send_steps(struct demo *demo, const struct steps *steps, size_t from, size_t to,
                       date today)
{
    for (size_t i = from; i < to; i++) {
        const struct step *step = &steps->items[i];
        struct local_call call = {step->method, step_path(demo, step, today), step->body, NULL};
        if (call.path == NULL || !send(demo, &call)) return false;
    }
    return true;
}

/* --- orders --- */

static const char *order_body(struct arena *arena, const struct usual *usual, date day)
{
    struct text text;
    struct json_writer out;
    text_init(&text, arena, BODY_CAP);
    json_writer_init(&out, &text);
    json_open_object(&out, NULL);
    json_put_text(&out, "customer", usual->customer);
    json_put_date(&out, "date", day);
    json_open_list(&out, "lines");
    for (size_t i = 0; i < usual->line_count; i++) {
        json_open_object(&out, NULL);
        json_put_text(&out, "product", usual->lines[i].product);
        json_put_whole(
            &out, "pieces",
            demo_vary(usual->customer, usual->lines[i].product, day, usual->lines[i].pieces));
        json_close(&out);
    }
    json_close(&out);
    json_close(&out);
    return text_ok(&text) ? text.data : NULL;
}

static bool send_order(struct demo *demo, size_t number, date day)
{
    char day_text[DATE_TEXT_SIZE];
    struct arena *arena = arena_new(0);
    if (arena == NULL) return false;
    date_print(day_text, day);
    const char *key = arena_printf(arena, "demo-%zu-%s", number, day_text);
    const char *body = order_body(arena, &demo->usuals[number], day);
    struct local_call call = {"POST", "/api/v1/orders", body, key};
    bool done = key != NULL && body != NULL && send(demo, &call);
    arena_free(arena);
    return done;
}

static bool send_orders(struct demo *demo, date today)
{
    for (date day = today - DAYS_BEFORE; day <= today + DAYS_AFTER; day++)
        for (size_t i = 0; i < demo->usual_count; i++)
            if (demo->usuals[i].weekdays[date_weekday(day)] && !send_order(demo, i, day))
                return false;
    return true;
}

/* --- the state of the bakery --- */

/* The answer to a GET as JSON, or NULL when there is nothing; *failed when that is not known. */
static const char *look(struct demo *demo, const char *path, bool *failed)
{
    struct local_call call = {"GET", path, NULL, NULL};
    struct request *answer = local_perform(&demo->local, demo->arena, &call);
    if (answer != NULL && !fails_any(&answer->fails)) return answer->reply.body.data;
    *failed = answer == NULL || fails_code(&answer->fails) != FAIL_NOT_FOUND;
    if (*failed) local_tell(&call, answer);
    return NULL;
}

/* A text member of a JSON object, or NULL. */
static const char *member(struct demo *demo, const char *json, const char *name)
{
    struct json_node root;
    struct json_object object;
    if (!json_parse(demo->arena, &demo->fails, json, strlen(json), &root)) return NULL;
    json_object_open(&object, root);
    return json_text(&object, name, JSON_REQUIRED, NAME_MAX_CHARACTERS);
}

enum bakery_state { BAKERY_UNKNOWN, BAKERY_NEW, BAKERY_IS_DEMO, BAKERY_IS_OTHER };

/* What is there: the demo counts as new until its last request has been performed. */
static enum bakery_state bakery_state(struct demo *demo)
{
    bool failed = false;
    const char *bakery = look(demo, "/api/v1/bakery", &failed);
    if (bakery == NULL) return failed ? BAKERY_UNKNOWN : BAKERY_NEW;
    const char *name = member(demo, bakery, "name");
    const char *own_name = member(demo, demo->first.items[0].body, "name");
    if (name == NULL || own_name == NULL) return BAKERY_UNKNOWN;
    if (strcmp(name, own_name) != 0) return BAKERY_IS_OTHER;
    const struct step *end = &demo->last.items[demo->last.count - 1];
    if (look(demo, end->path, &failed) != NULL) return BAKERY_IS_DEMO;
    return failed ? BAKERY_UNKNOWN : BAKERY_NEW;
}

static const struct zone *bakery_zone(struct demo *demo)
{
    bool failed = false;
    const char *bakery = look(demo, "/api/v1/bakery", &failed);
    const char *name = bakery != NULL ? member(demo, bakery, "time_zone") : NULL;
    const struct zone *zone = name != NULL ? zone_load(demo->arena, name) : NULL;
    if (zone == NULL) log_error("the time zone of the demo bakery is not known to this system");
    return zone;
}

/* --- the starters' logs --- */

static date day_of(const struct done *done, date today)
{
    return today - (date)done->days_ago;
}

static bool is_done(const struct done *done, date today)
{
    return done->weekdays[date_weekday(day_of(done, today))];
}

static bool send_done(struct demo *demo, const struct done *done, instant at)
{
    char when[INSTANT_TEXT_SIZE];
    struct arena *arena = demo->arena;
    instant_print(when, at, 0);
    const char *path = arena_printf(arena, "/api/v1/starters/%s/log", done->starter);
    const char *key = arena_printf(arena, "demo-log-%s-%s", done->starter, when);
    /* The body is an object with members: its time goes before them. */
    const char *body = arena_printf(arena, "{\"at\":\"%s\",%s", when, done->body + 1);
    struct local_call call = {"POST", path, body, key};
    return path != NULL && key != NULL && body != NULL && send(demo, &call);
}

/* Batches take of the starters, so both are entered in the order of time. What has not happened
 * yet, as the day stands, is left to the newcomer. */
static bool send_nights(struct demo *demo, const struct zone *zone, date today, instant now)
{
    struct demo_batches batches;
    if (!demo_batches_read(&demo->local, demo->arena, &demo->stock, today, &batches)) return false;
    for (size_t i = 0; i < demo->log_count; i++) {
        const struct done *done = &demo->log[i];
        instant at = zone_instant(zone, day_of(done, today), done->minutes);
        if (is_done(done, today) && at <= now &&
            (!demo_batches_send(&batches, at - 1) || !send_done(demo, done, at)))
            return false;
    }
    return demo_batches_send(&batches, now);
}

static bool load(struct demo *demo)
{
    date today = 0;
    int minutes = 0;
    instant now = instant_now();
    log_info("loading the demo bakery");
    if (!send_steps(demo, &demo->first, 0, demo->first.count, today)) return false;
    const struct zone *zone = bakery_zone(demo);
    if (zone == NULL) return false;
    zone_wall(zone, now, &today, &minutes);
    size_t end = demo->last.count - 1;
    return send_orders(demo, today) && send_steps(demo, &demo->last, 0, end, today) &&
           demo_stock_send(&demo->local, &demo->stock, today) &&
           send_nights(demo, zone, today, now) &&
           send_steps(demo, &demo->last, end, end + 1, today);
}

static bool load_if_new(struct demo *demo)
{
    switch (bakery_state(demo)) {
    case BAKERY_NEW:
        return load(demo);
    case BAKERY_IS_DEMO:
        log_info("the demo bakery is there already");
        return true;
    case BAKERY_IS_OTHER:
        log_error("this bakery has settings already; the demo is for a new one");
        return false;
    case BAKERY_UNKNOWN:
        break;
    }
    return false;
}

int demo_load(const struct settings *settings)
{
    struct demo demo = {.arena = arena_new(0)};
    bool done = false;
    if (demo.arena == NULL) goto out;
    fails_init(&demo.fails, demo.arena);
    done = local_open(&demo.local, settings, "demo") && read_demo(&demo, settings->demo_file) &&
           load_if_new(&demo);
out:
    local_close(&demo.local);
    arena_free(demo.arena);
    return done ? EXIT_DONE : EXIT_FAILED;
}
