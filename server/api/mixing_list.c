/* /mixing-lists/{date} and its prints. */
#include "api/handlers.h"
#include "api/mixing_body.h"
#include "api/number.h"
#include "api/page.h"
#include "api/zone.h"
#include "store/bakery.h"
#include "store/print.h"

#include <inttypes.h>
#include <string.h>

enum { PRINT_SIZE_MAX = 8 * 1024 * 1024 };

static bool reckon(struct request *request, date mixing_date, struct day *day,
                   struct mixing_list *list, struct mixing_water *water)
{
    date first, last;
    mixing_horizon(&day->reckoning, mixing_date, &first, &last);
    return day_load_demands(request, day, first, last) &&
           mixing_list_of(&day->reckoning, mixing_date, day->demands, day->demand_count, list) &&
           mixing_water_load(request, day, list, water);
}

/* "last_print" and, while the list can still change, "changes". */
static bool write_last_print(struct request *request, struct json_writer *json,
                             const struct day *day, const struct mixing_list *list,
                             const struct print *print)
{
    if (print == NULL) {
        json_put_null(json, "last_print");
        json_put_null(json, "changes");
        return true;
    }
    json_open_object(json, "last_print");
    print_write_head(json, print, day->reckoning.zone);
    json_close(json);
    if (list != NULL) return changes_write(request, json, day, list, print);
    json_put_null(json, "changes");
    return true;
}

static bool answer_reckoned(struct request *request, date mixing_date, struct day *day,
                            const struct print *print)
{
    struct mixing_list list;
    struct mixing_water water;
    if (!reckon(request, mixing_date, day, &list, &water)) return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    mixing_write(json, day, &list, &water);
    if (!write_last_print(request, json, day, &list, print)) return false;
    json_close(json);
    reply_etag(request);
    return true;
}

/* A night that is over is shown as it was printed, whatever the formulas say today. */
static bool answer_past(struct request *request, const struct day *day, const struct print *print)
{
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    print_write_body(json, print);
    if (!write_last_print(request, json, day, NULL, print)) return false;
    json_close(json);
    reply_etag(request);
    return true;
}

bool get_mixing_list(struct request *request)
{
    date mixing_date;
    struct day day;
    struct print print;
    bool printed;
    if (!request_date(request, "date", &mixing_date) || !day_open(request, &day) ||
        !print_get(request->tx, mixing_date, 0, &print, &printed))
        return false;
    if (printed && mixing_date < working_day(&day.reckoning, instant_now()))
        return answer_past(request, &day, &print);
    return answer_reckoned(request, mixing_date, &day, printed ? &print : NULL);
}

static void write_print(struct request *request, int status, const struct print *print,
                        const struct zone *zone)
{
    struct json_writer *json = reply_json(request, status);
    json_open_object(json, NULL);
    print_write_head(json, print, zone);
    print_write_body(json, print);
    json_close(json);
    reply_etag(request);
}

/* Printing takes no choices: no body, or an empty object. */
static bool read_nothing(struct request *request)
{
    struct json_node root;
    struct json_object body;
    if (request->body_length == 0) return true;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    return json_object_close(&body);
}

static bool freeze(struct request *request, const struct day *day, const struct mixing_list *list,
                   const struct mixing_water *water, struct print *print)
{
    struct text body;
    struct json_writer json;
    text_init(&body, request->arena, PRINT_SIZE_MAX);
    json_writer_init(&json, &body);
    json_open_object(&json, NULL);
    mixing_write(&json, day, list, water);
    json_close(&json);
    if (!text_ok(&body)) return fail_memory(&request->fails);
    *print = (struct print){.mixing_date = list->mixing_date, .body = body.data};
    return print_add(request->tx, print);
}

bool post_print(struct request *request)
{
    date mixing_date;
    struct day day;
    struct mixing_list list;
    struct mixing_water water;
    struct print print;
    char text[DATE_TEXT_SIZE];
    if (!request_date(request, "date", &mixing_date) || !read_nothing(request) ||
        !bakery_lock(request->tx) || !day_open(request, &day) ||
        !reckon(request, mixing_date, &day, &list, &water) ||
        !freeze(request, &day, &list, &water, &print))
        return false;
    write_print(request, 201, &print, day.reckoning.zone);
    date_print(text, mixing_date);
    reply_location(request, "/api/v1/mixing-lists/%s/prints/%" PRId64, text, print.number);
    return true;
}

bool list_prints(struct request *request)
{
    date mixing_date;
    struct print *prints;
    size_t count;
    const struct zone *zone;
    if (!request_date(request, "date", &mixing_date) || !request_zone(request, &zone) ||
        !print_select(request->tx, mixing_date, &prints, &count))
        return false;
    struct page page = {.limit = INT64_MAX};
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        json_open_object(json, NULL);
        print_write_head(json, &prints[i], zone);
        json_close(json);
    }
    page_close(request, &page);
    return true;
}

bool get_print(struct request *request)
{
    date mixing_date;
    const char *text = request_param(request, "number");
    int64_t number = 0;
    struct print print;
    bool found = false;
    const struct zone *zone;
    if (!request_date(request, "date", &mixing_date) || !request_zone(request, &zone)) return false;
    if (number_parse(text, &number) && !print_get(request->tx, mixing_date, number, &print, &found))
        return false;
    if (!found)
        return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no print %s of that date",
                        text);
    write_print(request, 200, &print, zone);
    return true;
}
