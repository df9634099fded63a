/* Why a figure is what it is, on the wire. */
#ifndef MORROWLOAF_API_WHY_BODY_H
#define MORROWLOAF_API_WHY_BODY_H

#include "bakery/why.h"
#include "json/writer.h"

/* What the values of a tree are. */
enum why_figure { FIGURE_MONEY, FIGURE_GRAMS, FIGURE_PIECES };

/* Writes the members of a node and, below "children", its whole tree. places: decimals of money. */
void why_write_members(struct json_writer *json, const struct why *node, enum why_figure figure,
                       int places);

#endif
