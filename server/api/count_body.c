/* Counts on the wire. */
#include "api/count_body.h"

#include "api/amount_body.h"
#include "api/money.h"
#include "bakery/catalogue.h"
#include "bakery/lot_cost.h"
#include "http/request.h"
#include "store/count.h"

#include <string.h>

/* Whether a movement of the count belongs to the line. */
static bool is_of(const struct count_line *line, const struct moved *moved)
{
    return strcmp(line->ingredient, moved->ingredient) == 0 &&
           (line->lot == 0 || line->lot == moved->lot) &&
           (line->place == NULL || strcmp(line->place, moved->place) == 0);
}

/* What the line's differences are worth. */
static struct money worth_of(const struct count_line *line, const struct moved *moved, size_t count)
{
    struct money sum = {.known = true};
    for (size_t i = 0; i < count; i++) {
        if (!is_of(line, &moved[i])) continue;
        struct money part = lot_cost_of(moved[i].price, moved[i].received, moved[i].delta);
        sum = money_sum(sum, part);
    }
    return sum;
}

static void write_line(struct json_writer *json, const struct day *day,
                       const struct count_line *line, const struct money *worth)
{
    const struct ingredient *ingredient = catalogue_ingredient_of(&day->catalogue,
                                                                  line->ingredient);
    json_open_object(json, NULL);
    json_put_text(json, "ingredient", ingredient->code);
    json_put_text(json, "name", ingredient->name);
    json_put_whole_or_null(json, "lot", line->lot, line->lot > 0);
    json_put_text(json, "lot_mark", line->lot_mark);
    json_put_text(json, "place", line->place);
    amount_write(json, "expected", ingredient->unit, line->expected);
    amount_write(json, "counted", ingredient->unit, line->counted);
    amount_write(json, "difference", ingredient->unit, line->counted - line->expected);
    if (worth != NULL)
        money_write_known(json, "difference_value", worth->micros, worth->known, day->money_places);
    json_close(json);
}

static void write_head(struct json_writer *json, const struct day *day,
                       const struct posting *posting)
{
    json_put_whole(json, "number", posting->number);
    json_put_date(json, "date", posting->date);
    json_put_instant(json, "at", posting->at, day->reckoning.zone);
    json_put_text(json, "by", posting->by);
    json_put_text(json, "note", posting->reason);
    json_put_whole_or_null(json, "reversed_by", posting->reversed_by, posting->reversed_by > 0);
}

static void write_lines(struct json_writer *json, const struct day *day,
                        const struct count_line *lines, size_t count, const struct moved *moved,
                        size_t moved_count, bool worth_shown)
{
    struct money total = {.known = true};
    int64_t unvalued = 0;
    json_open_list(json, "lines");
    for (size_t i = 0; i < count; i++) {
        struct money worth = worth_of(&lines[i], moved, moved_count);
        write_line(json, day, &lines[i], worth_shown ? &worth : NULL);
        unvalued += !worth.known;
        total = money_sum(total, worth);
    }
    json_close(json);
    if (!worth_shown) return;
    money_write_known(json, "difference_value", total.micros, total.known, day->money_places);
    json_put_whole(json, "unvalued", unvalued);
}

static bool write_count(struct request *request, struct json_writer *json, const struct day *day,
                        const struct posting *posting)
{
    struct count_line *lines;
    struct moved *moved;
    size_t count, moved_count;
    if (!count_lines_select(request->tx, posting->number, &lines, &count) ||
        !moved_select(request->tx, &posting->number, 1, &moved, &moved_count))
        return false;
    json_open_object(json, NULL);
    write_head(json, day, posting);
    write_lines(json, day, lines, count, moved, moved_count, request->role == ROLE_OWNER);
    json_close(json);
    return true;
}

bool counts_write(struct request *request, struct json_writer *json, const struct day *day,
                  const struct posting *postings, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!write_count(request, json, day, &postings[i])) return false;
    return true;
}
