/* Reading a result, column by column.
 *
 * A column that is not there, or is not of the type it is read as, is a defect of ours: it is
 * logged and spoils the transaction, so that nothing is stored or answered on the strength of it.
 */
#include "base/log.h"
#include "db/connection.h"

#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

static void spoil(const struct rows *rows, int column, const char *what)
{
    const char *name = PQfname(rows->result, column);
    log_error("column %d (%s) of a result %s", column + 1, name == NULL ? "-" : name, what);
    rows->db->verdict = VERDICT_FAILED;
}

bool rows_next(struct rows *rows)
{
    if (rows->row + 1 >= rows->count) return false;
    rows->row++;
    rows->column = 0;
    return true;
}

static bool is_there(const struct rows *rows, int column)
{
    return rows->row >= 0 && rows->row < rows->count && column < PQnfields(rows->result);
}

bool row_is_null(const struct rows *rows)
{
    return !is_there(rows, rows->column) || PQgetisnull(rows->result, rows->row, rows->column) != 0;
}

const char *row_text(struct rows *rows)
{
    int column = rows->column++;
    if (!is_there(rows, column)) {
        spoil(rows, column, "is not there");
        return NULL;
    }
    if (PQgetisnull(rows->result, rows->row, column) != 0) return NULL;
    return PQgetvalue(rows->result, rows->row, column);
}

int64_t row_whole(struct rows *rows)
{
    const char *text = row_text(rows);
    if (text == NULL) return 0;
    char *end;
    errno = 0;
    long long value = strtoll(text, &end, 10);
    if (errno == 0 && end != text && *end == '\0') return value;
    spoil(rows, rows->column - 1, "is not a whole number");
    return 0;
}

bool row_bool(struct rows *rows)
{
    const char *text = row_text(rows);
    if (text == NULL || strcmp(text, "f") == 0) return false;
    if (strcmp(text, "t") == 0) return true;
    spoil(rows, rows->column - 1, "is not a truth value");
    return false;
}

date row_date(struct rows *rows)
{
    date value = 0;
    const char *text = row_text(rows);
    if (text != NULL && !date_parse(text, &value))
        spoil(rows, rows->column - 1, "is not a date of the calendar");
    return value;
}

int row_clock(struct rows *rows)
{
    if (row_is_null(rows)) {
        row_text(rows);
        return NO_CLOCK;
    }
    int64_t minutes = row_whole(rows);
    if (minutes >= 0 && minutes < MINUTES_PER_DAY) return (int)minutes;
    spoil(rows, rows->column - 1, "is not a clock time");
    return NO_CLOCK;
}

instant row_instant(struct rows *rows)
{
    return row_whole(rows);
}
