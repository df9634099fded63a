/* Weekdays on the wire. */
#include "api/weekdays.h"

#include "base/date.h"
#include "base/fail.h"

unsigned weekdays_read(struct json_object *body, const char *name)
{
    struct json_list list;
    struct json_node item;
    unsigned days = 0;
    if (!json_has(body, name)) return EVERY_DAY;
    json_list_member(body, name, JSON_OPTIONAL, 1, DAYS_PER_WEEK, &list);
    while (json_list_next(&list, &item)) {
        unsigned day = 1u << json_item_whole(&item, 1, DAYS_PER_WEEK, 0);
        if (day > 1 && (days & day) != 0)
            fail_add(item.fails, FAIL_INVALID, item.path, "is named twice");
        days |= day;
    }
    return days & EVERY_DAY;
}

void weekdays_write(struct json_writer *json, const char *name, unsigned days)
{
    json_open_list(json, name);
    for (int day = 1; day <= DAYS_PER_WEEK; day++)
        if ((days & 1u << day) != 0) json_put_whole(json, NULL, day);
    json_close(json);
}
