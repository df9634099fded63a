/* A reader of comma-separated values (RFC 4180): quoted cells, doubled quotes, no line breaks in
 * cells. */
#include "csv.h"

#include "base/arena.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

enum { LINE_MAX_BYTES = 4096, ROWS_MAX = 1000, COLUMNS_MAX = 20 };

/* Takes one cell out of the text in place; returns where the next begins, NULL after the last. */
static char *take_cell(char *text, char **cell)
{
    char *to = *cell = text;
    bool quoted = *text == '"';
    if (quoted) text++;
    for (; *text != '\0'; text++) {
        if (quoted && *text == '"' && text[1] == '"')
            text++;
        else if (quoted && *text == '"') {
            quoted = false;
            continue;
        } else if (!quoted && *text == ',')
            break;
        *to++ = *text;
    }
    char *next = *text == ',' ? text + 1 : NULL;
    *to = '\0';
    return next;
}

static char **read_row(struct arena *arena, char *line, size_t *columns)
{
    char **row = arena_array(arena, COLUMNS_MAX, sizeof *row);
    char *next = arena_copy(arena, line);
    *columns = 0;
    while (next != NULL && *columns < COLUMNS_MAX)
        next = take_cell(next, &row[(*columns)++]);
    return row;
}

struct csv csv_read(struct arena *arena, const char *name)
{
    char line[LINE_MAX_BYTES];
    struct csv table = {.rows = arena_array(arena, ROWS_MAX, sizeof *table.rows)};
    const char *path = arena_printf(arena, "%s/tests/sources/%s", MORROWLOAF_SOURCE, name);
    FILE *file = fopen(path, "r");
    cr_assert_not_null(file, "%s", path);
    size_t rows = 0;
    size_t columns;
    while (rows < ROWS_MAX && fgets(line, sizeof line, file)) {
        line[strcspn(line, "\r\n")] = '\0';
        table.rows[rows++] = read_row(arena, line, &columns);
        if (rows == 1) table.columns = columns;
        cr_assert_eq(columns, table.columns, "%s row %zu has %zu cells", name, rows, columns);
    }
    fclose(file);
    cr_assert_gt(rows, 1, "%s is empty", name);
    table.count = rows - 1;
    return table;
}

const char *csv_cell(const struct csv *table, size_t n, const char *column)
{
    for (size_t k = 0; k < table->columns; k++)
        if (strcmp(table->rows[0][k], column) == 0) return table->rows[n + 1][k];
    cr_assert_fail("no column %s", column);
    return "";
}
