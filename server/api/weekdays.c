/* Weekdays on the wire. */
#include "api/weekdays.h"

#include "base/fail.h"

enum { WEEKDAYS = 7, ALL_DAYS = 0xfe };

unsigned weekdays_read(struct json_object *body, const char *name)
{
    struct json_list list;
    struct json_node item;
    unsigned days = 0;
    if (!json_has(body, name)) return ALL_DAYS;
    json_list_member(body, name, JSON_OPTIONAL, 1, WEEKDAYS, &list);
    while (json_list_next(&list, &item)) {
        unsigned day = 1u << json_item_whole(&item, 1, WEEKDAYS, 0);
        if (day > 1 && (days & day) != 0)
            fail_add(item.fails, FAIL_INVALID, item.path, "is named twice");
        days |= day;
    }
    return days & ALL_DAYS;
}

void weekdays_write(struct json_writer *json, const char *name, unsigned days)
{
    json_open_list(json, name);
    for (int day = 1; day <= WEEKDAYS; day++)
        if ((days & 1u << day) != 0) json_put_whole(json, NULL, day);
    json_close(json);
}
