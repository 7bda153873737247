#include "bend_order_words.hpp"

#include "words.hpp"

namespace foldswing::detail {

using bend_order::Kind;

std::string list(const std::vector<std::string>& words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) out += i + 1 == words.size() ? " and " : ", ";
        out += words[i];
    }
    return out;
}

std::string words(const Foul& foul, const bend_order::Brake& brake, std::span<const std::string> bends,
                  std::span<const std::string> flats) {
    const bool leaf = brake.kind == Kind::leaf;
    const auto part = [&](std::size_t i) { return i % 2 == 0 ? flats[i / 2] : "the metal of " + bends[i / 2]; };
    const auto into = [&](const std::string& what) {
        const std::string when = foul.angle_deg > 0.0
                                     ? " when the bend has turned " + fixed(foul.angle_deg, 0) + " degrees"
                                     : " as soon as the part is in the brake";
        return part(foul.part) + " runs into " + what + when;
    };
    switch (foul.what) {
        case Hindrance::none:
            return "";
        case Hindrance::angle:
            return "its " + fixed(foul.number, 1) + " degrees are more than the " + fixed(foul.wanted, 1) +
                   " this brake turns";
        case Hindrance::radius:
            return leaf
                       ? "the nose is too small for an inside radius of " + mm(foul.number) + " mm"
                       : "a bend of this radius and angle asks for a V opening of more than " + mm(foul.wanted) + " mm";
        case Hindrance::hold:
            return std::string(leaf ? "only " : "behind the punch only ") + mm(foul.number) + " mm of straight metal " +
                   (leaf ? "to hold under the nose" : "to lie on the die") + ", at least " + mm(foul.wanted) +
                   " mm wanted";
        case Hindrance::flange:
            return std::string(leaf ? "only " : "before the punch only ") + mm(foul.number) + " mm of straight metal " +
                   (leaf ? "on the leaf" : "to lie on the die") + ", at least " + mm(foul.wanted) + " mm wanted";
        case Hindrance::gauge:
            return "the stop would have to stand at " + mm(foul.number) + " mm; it reaches from " +
                   mm(brake.gauge_from) + " to " + mm(brake.gauge_to) + " mm";
        case Hindrance::upper:
            return into(leaf ? "the nose or its beam" : "the punch");
        case Hindrance::lower:
            return into(leaf ? "the bed" : "the die");
        case Hindrance::leaf:
            return into("the leaf");
        case Hindrance::metal:
            return into(part(foul.other));
        case Hindrance::trapped:
            return std::string("it can be bent, but the part then does not come off the brake: it stays round the ") +
                   (leaf ? "nose" : "punch");
        case Hindrance::cross_below:
            return "flanges across it hang down into the " + std::string(leaf ? "bed" : "die");
        case Hindrance::cross_beam:
            return "flanges across it stand " + mm(foul.number) + " mm high, " + mm(foul.wanted) +
                   " mm are clear beside the fingers";
        case Hindrance::cross_width:
            return "no set of fingers of at least " + mm(foul.wanted) + " mm goes into the " + mm(foul.number) +
                   " mm between the flanges across it";
        case Hindrance::cross_base:
            return "with flanges standing across, the base must be the part that is held";
    }
    return "";
}

}  // namespace foldswing::detail
